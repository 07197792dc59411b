"""A course walk as text to read: pass by pass."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from coursecheck.reports.walk_words import (
    ADVICE,
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
    yield printable(f"Course walk: {walked.course.title}")
    yield f"{walked.course.discipline}, grade {walked.course.grade}; {', '.join(walked.classes)}"
    last = list(walked.classes)[-1]
    if len(walked.classes) > 1:
        yield f"Figures of the legs, and of what is said of several classes, are those of the class {last}."
    yield ""
    if not walked.course.passes:
        yield "The plan has no sequence yet: there is nothing to walk."
        return
    if start := start_words(walked):
        yield from _wrapped(start, width, "", INDENT)
    one = walked.classes[last]
    by_leg: dict[int, list[Shared]] = {}
    for shared in (shared for shared in remarks if not shared.remark.whole):
        by_leg.setdefault(shared.remark.leg, []).append(shared)
    for leg, sight, hard in zip(one.legs, one.sights, one.flow.difficulty, strict=True):
        yield from _wrapped(f"{leg_title(walked, last, leg)}: {leg_words(leg, sight, hard)}", width, "", INDENT)
        yield from _said(by_leg.get(leg.before.number, []), walked, width)
    end = len(walked.course.passes)
    if end in by_leg:
        yield f"after {end}:"
        yield from _said(by_leg[end], walked, width)
    yield ""
    yield "the whole course:"
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
    count = f"{len(remarks)} remark{'' if len(remarks) == 1 else 's'}"
    yield f"{count}, {uncertain} of them uncertain." if uncertain else f"{count}."
    used = figures_used(walked, remarks)
    if used:
        yield "They hang on these figures (change one with --set NAME=VALUE):"
        for figure in used:
            yield from _wrapped(figure_words(figure), width, "  ", "    ")
    yield from _wrapped(ADVICE, width, "", "")


def _wrapped(words: str, width: int, first: str, later: str) -> list[str]:
    return textwrap.wrap(
        words, width, initial_indent=first, subsequent_indent=later, break_long_words=False, break_on_hyphens=False
    )
