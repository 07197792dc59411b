"""The command `check`."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import click

from coursecheck.batch import Job, plan_files, run
from coursecheck.cli import spoken
from coursecheck.cli.options import wants_colour, write, write_pieces
from coursecheck.cli.progress import Progress
from coursecheck.cli.selecting import question_options, source_of
from coursecheck.judging import Question
from coursecheck.language import say
from coursecheck.reports.forms import FORMS, Look, PlanResult, whole
from coursecheck.rulebook.model import SEVERITIES

__all__ = ["command"]

TELLS_PROBLEMS = ("sarif", "junit")
"""Forms that also hold the plans that could not be judged, and so are written even where none could."""


@spoken.command("check")
@spoken.argument("files", nargs=-1, required=True, metavar="FILE...")
@spoken.option(
    "--format",
    "form",
    type=click.Choice(FORMS),
    default="text",
    show_default=True,
    help="text to read, concise for one line a finding, the others for programs.",
)
@spoken.option("-o", "--output", type=Path, metavar="FILE", help="Write here instead.")
@spoken.option(
    "--fail-on",
    type=click.Choice((*SEVERITIES, "never")),
    default="must",
    show_default=True,
    help="The least severity whose breach gives status 1.",
)
@spoken.option(
    "--write-baseline",
    "new_baseline",
    type=Path,
    metavar="FILE",
    help="Write what is broken now to a baseline.",
)
@question_options
def command(
    files: tuple[str, ...],
    form: str,
    output: Path | None,
    fail_on: str,
    new_baseline: Path | None,
    question: Question,
) -> None:
    """Judge course plans by the rulebook that each names; - reads a plan from standard input.

    A folder stands for every *.course.toml below it. Waivers are taken from NAME.waivers.toml beside
    NAME.course.toml.

    Status 0: nothing at or above --fail-on; 1: something is; 2: a question could not be answered.
    """
    names = plan_files(files)
    several = len(names) > 1 or any(Path(name).is_dir() for name in files)
    look = Look(form, fail_on, output is None and wants_colour(), shutil.get_terminal_size((100, 24)).columns)
    results = run([source_of(name) for name in names], Job(question, look))
    taken = _shown(results, look, output, several=several, total=len(names))
    # a question that makes no sense is the same for every plan: told once
    problems = list(dict.fromkeys(result.problem for result in taken if result.problem))
    for problem in problems:
        click.echo(problem, err=True)
    if new_baseline is not None and problems:
        told = say("{file}: not written, since not every plan could be judged", file=new_baseline)
        click.echo(told, err=True)
    elif new_baseline is not None:
        from coursecheck.verdict.baseline import baseline_text

        text = baseline_text(str(new_baseline), [(result.file, result.broken) for result in taken])
        write(text, new_baseline)
    click.get_current_context().exit(2 if problems else int(any(result.grave for result in taken)))


def _shown(
    results: Iterator[PlanResult], look: Look, output: Path | None, *, several: bool, total: int
) -> list[PlanResult]:
    """Writes the results as they come, and gives them back without their parts."""
    taken: list[PlanResult] = []

    def counted() -> Iterator[PlanResult]:
        for result in results:
            taken.append(replace(result, part=""))
            progress.advance()
            yield result

    with Progress(total) as progress:
        if several or look.form in TELLS_PROBLEMS:
            write_pieces(whole(counted(), look, several=several), output)
        else:
            judged = [result for result in counted() if result.part]
            if judged:
                write_pieces(whole(judged, look, several=False), output)
    return taken
