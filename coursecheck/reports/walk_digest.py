"""The page of the report on what a plan will be like to run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coursecheck.language import say, say_count
from coursecheck.reports.walk_words import classes_words, doubt_in_full
from coursecheck.walk.digest import Digest
from coursecheck.walk.figures import Figures
from coursecheck.walk.handler import HandlingPlan, stretches
from coursecheck.walk.merging import Shared
from coursecheck.walk.names import handler_word

__all__ = ["DigestPage", "digest_page"]

NAMED = 3  # stretches that a cell of the table names


@dataclass(frozen=True, slots=True)
class _Said:
    """A remark on the page."""

    classes: str
    sentence: str
    doubt: str


@dataclass(frozen=True, slots=True)
class DigestPage:
    """The words of the page.

    Attributes:
        several: whether there are several height classes.
        groups: a title and its remarks; none where nothing is to be said.
        classes: the height classes with handling plans, the columns of the table.
        handlers: for each model handler its name and what is said of it in each of these classes.
        more: how many remarks there are besides.
    """

    several: bool
    groups: tuple[tuple[str, tuple[_Said, ...]], ...]
    classes: tuple[str, ...]
    handlers: tuple[tuple[str, tuple[str, ...]], ...]
    more: int


def digest_page(digest: Digest) -> DigestPage | None:
    """The words of a digest; None where the plan has no leg to walk."""
    walked = digest.walked
    if not any(one.legs for one in walked.classes.values()):
        return None
    planned = {height: one.plans for height, one in walked.classes.items() if one.plans}
    groups = ((say("Firm"), digest.firm), (say("Uncertain"), digest.uncertain))
    return DigestPage(
        several=len(walked.classes) > 1,
        groups=tuple((title, tuple(_said(shared, digest) for shared in some)) for title, some in groups if some),
        classes=tuple(planned),
        handlers=tuple(_handler_row(plans, walked.figures) for plans in zip(*planned.values(), strict=True)),
        more=digest.more,
    )


def _said(shared: Shared, digest: Digest) -> _Said:
    return _Said(classes_words(shared, digest.walked), shared.remark.sentence, doubt_in_full(shared, digest.walked))


def _handler_row(plans: Sequence[HandlingPlan], figures: Figures) -> tuple[str, tuple[str, ...]]:
    """One model handler in every class."""
    which, speed = handler_word(plans[0].handler), plans[0].speed_mps
    name = say("{which}, {speed:.1f} m/s", which=which, speed=speed)
    return name, tuple(_plan_words(plan, figures) for plan in plans)


def _plan_words(plan: HandlingPlan, figures: Figures) -> str:
    late = [
        say(
            "{first} to {last}",
            first=plan.legs[one.first].start.number,
            last=plan.legs[one.last].end.number,
        )
        for one in stretches(plan, figures)
    ]
    changes = say_count("{count} change", "{count} changes", len(plan.changes))
    named, more = ", ".join(late[:NAMED]), len(late) - NAMED
    if not late:
        return say("{changes}; in time", changes=changes)
    if more <= 0:
        return say("{changes}; falls behind {stretches}", changes=changes, stretches=named)
    return say("{changes}; falls behind {stretches} and {count} more", changes=changes, stretches=named, count=more)
