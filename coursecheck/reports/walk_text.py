"""A course walk as text to read: pass by pass."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from coursecheck.language import clauses, say, say_count
from coursecheck.reports.walk_words import (
    advice,
    classes_words,
    doubt_words,
    figure_words,
    figures_used,
    flow_words,
    judge_words,
    leg_title,
    leg_words,
    plan_words,
    start_words,
)
from coursecheck.reports.wording import printable
from coursecheck.walk.merging import Shared, shared_remarks
from coursecheck.walk.walking import Walk

__all__ = ["render_walk_text"]

INDENT = "      "


def render_walk_text(walked: Walk, width: int = 100) -> str:
    """The walk in plain sentences, at most `width` letters wide; the same for the same input."""
    return "\n".join(_lines(walked, max(60, width))) + "\n"


def _lines(walked: Walk, width: int) -> Iterator[str]:
    remarks = shared_remarks(walked)
    yield printable(say("Course walk: {title}", title=walked.course.title))
    subject = say("{discipline}, grade {grade}", discipline=walked.course.discipline, grade=walked.course.grade)
    yield clauses((subject, ", ".join(walked.classes)))
    last = list(walked.classes)[-1]
    if len(walked.classes) > 1:
        yield say(
            "Figures of the legs, and of what is said of several classes, are those of the class {height}.",
            height=last,
        )
    yield ""
    if not walked.course.passes:
        yield say("The plan has no sequence yet: there is nothing to walk.")
        return
    if start := start_words(walked):
        yield from _wrapped(start, width, "", INDENT)
    one = walked.classes[last]
    by_leg: dict[int, list[Shared]] = {}
    for shared in (shared for shared in remarks if not shared.remark.whole):
        by_leg.setdefault(shared.remark.leg, []).append(shared)
    for leg, sight, hard in zip(one.legs, one.sights, one.flow.difficulty, strict=True):
        title, words = leg_title(walked, last, leg), leg_words(leg, sight, hard)
        yield from _wrapped(say("{leg}: {words}", leg=title, words=words), width, "", INDENT)
        yield from _said(by_leg.get(leg.before.number, []), walked, width)
    end = len(walked.course.passes)
    if end in by_leg:
        yield say("after {last}:", last=end)
        yield from _said(by_leg[end], walked, width)
    yield ""
    yield say("the whole course:")
    yield from _said([shared for shared in remarks if shared.remark.whole], walked, width)
    for words in (*flow_words(walked), *plan_words(walked), *judge_words(walked)):
        yield from _wrapped(words, width, "", INDENT)
    yield ""
    yield from _closing(walked, remarks, width)


def _said(remarks: list[Shared], walked: Walk, width: int) -> Iterator[str]:
    for shared in remarks:
        classes = classes_words(shared, walked)
        doubt = doubt_words(shared)
        words = f"- {f'[{classes}] ' if classes else ''}{printable(shared.remark.sentence)}"
        yield from _wrapped(words + (f" ({doubt})" if doubt else ""), width, INDENT, INDENT + "  ")


def _closing(walked: Walk, remarks: tuple[Shared, ...], width: int) -> Iterator[str]:
    uncertain = sum(bool(shared.uncertain) for shared in remarks)
    count = say_count("{count} remark", "{count} remarks", len(remarks))
    yield say("{remarks}, {count} of them uncertain.", remarks=count, count=uncertain) if uncertain else f"{count}."
    used = figures_used(walked, remarks)
    if used:
        yield say("They hang on these figures (change one with --set NAME=VALUE):")
        for figure in used:
            yield from _wrapped(figure_words(figure), width, "  ", "    ")
    yield from _wrapped(advice(), width, "", "")


def _wrapped(words: str, width: int, first: str, later: str) -> list[str]:
    return textwrap.wrap(
        words, width, initial_indent=first, subsequent_indent=later, break_long_words=False, break_on_hyphens=False
    )
