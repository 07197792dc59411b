"""The command `explain`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coursecheck.checking import measure_course, no_height_class
from coursecheck.cli import spoken
from coursecheck.cli.options import heights_option, wants_colour, write
from coursecheck.errors import UsageError
from coursecheck.language import say
from coursecheck.plans import load_plan, load_rulebook, shipped_rulebooks

if TYPE_CHECKING:
    from coursecheck.rulebook.model import Rulebook

__all__ = ["command"]


@spoken.command("explain")
@spoken.argument("limit", metavar="LIMIT")
@spoken.argument("file", required=False, metavar="[FILE]")
@spoken.option("--course", "course_file", metavar="FILE", help="The same as FILE.")
@spoken.option(
    "--rulebook", metavar="RULEBOOK", help="A shipped rulebook or a path; by default the first that has the limit."
)
@heights_option
def command(
    limit: str, file: str | None, course_file: str | None, rulebook: str | None, heights: tuple[str, ...]
) -> None:
    """Tell what a limit is for, how it is measured, its value by grade and height, clause and source.

    With a course FILE: which row of its rulebook was chosen for each subject of that plan, and why. A measure in
    place of a LIMIT: what it measures, in which ways, and which limits ask for it.
    """
    if file is not None and course_file is not None:
        raise UsageError(say("give the course file once, as FILE or with --course"))
    plan = file or course_file
    if plan is None:
        _explain(limit, rulebook, heights)
    elif rulebook is not None:
        raise UsageError(say("a course file names its own rulebook; leave --rulebook out"))
    else:
        _trace(limit, plan, heights)


def _explain(limit: str, rulebook: str | None, heights: tuple[str, ...]) -> None:
    from coursecheck.measures import MEASURES
    from coursecheck.reports.explain import render_limit, render_measure

    names = [rulebook] if rulebook else sorted(shipped_rulebooks(), key=lambda name: (name != "club-show", name))
    books = [load_rulebook(name) for name in names]
    for book in books:
        if any(row.id == limit for row in book.limits):
            strange = [name for name in heights if name not in book.heights]
            if strange:
                raise no_height_class(book, strange[0])
            write(render_limit(book, limit, heights, colour=wants_colour()), None)
            return
    if limit in MEASURES:
        write(render_measure(limit, books), None)
        return
    raise _no_such_limit(limit, books, rulebook)


def _trace(limit: str, plan: str, heights: tuple[str, ...]) -> None:
    from coursecheck.reports.explain import render_trace
    from coursecheck.verdict.tracing import trace_limit

    course, book = load_plan(plan)
    if not any(row.id == limit for row in book.limits):
        raise _no_such_limit(limit, [book], book.id)
    choices = trace_limit(book, limit, measure_course(course, book, heights))
    write(render_trace(course, book, limit, choices), None)


def _no_such_limit(limit: str, books: list[Rulebook], rulebook: str | None) -> UsageError:
    from difflib import get_close_matches

    known = sorted({row.id for book in books for row in book.limits})
    near = get_close_matches(limit, known, n=3)
    words = ", ".join(near or known)
    hint = say("did you mean {words}?", words=words) if near else say("known: {words}", words=words)
    if rulebook is None:
        return UsageError(say("there is no limit {limit!r}; {hint}", limit=limit, hint=hint))
    return UsageError(
        say("there is no limit {limit!r} in {rulebook}; {hint}", limit=limit, rulebook=rulebook, hint=hint)
    )
