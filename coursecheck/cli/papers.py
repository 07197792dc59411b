"""The command `papers`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from coursecheck.cli.selecting import question_options, source_of
from coursecheck.judging import Question, judge_plan
from coursecheck.papers import FORMATS, PAPERS, SIZES_MM, PaperOptions, make_papers

if TYPE_CHECKING:
    from coursecheck.course.model import Course
    from coursecheck.verdict.model import Verdict

__all__ = ["command"]


def place(text: str) -> tuple[float, float]:
    """Latitude and longitude in degrees, such as 52.1,4.35; a usage error for anything else."""
    try:
        latitude, longitude = (float(part) for part in text.split(","))
    except ValueError as error:
        raise click.BadParameter(f"{text!r} is no latitude and longitude; write it like 52.1,4.35") from error
    return latitude, longitude


@click.command("papers")
@click.argument("file")
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="The folder for the papers; made where it is missing.",
)
@click.option(
    "--only",
    multiple=True,
    metavar="PAPER",
    help=f"Only this paper; several times. There are {', '.join(PAPERS)}.",
)
@click.option(
    "--format",
    "formats",
    multiple=True,
    metavar="FORMATS",
    help=f"One or more of {', '.join(FORMATS)}, with commas between; by default those that need nothing to install.",
)
@click.option(
    "--paper", type=click.Choice(list(SIZES_MM)), default="a4", show_default=True, help="What it is printed on."
)
@click.option(
    "--line", "line_of", metavar="CLASS", help="Draw the line of this height class; by default of the last."
)
@click.option("--no-line", is_flag=True, help="Draw no line: the plan for competitors.")
@click.option(
    "--origin",
    type=place,
    metavar="LAT,LON",
    help="Where the bottom left of the plan lies on the earth, for GeoJSON in WGS 84.",
)
@click.option("--north", "north_deg", type=float, default=0.0, metavar="DEG", help="True bearing of up the plan.")
@question_options
def command(
    file: str,
    output: Path,
    only: tuple[str, ...],
    formats: tuple[str, ...],
    paper: str,
    line_of: str | None,
    no_line: bool,
    origin: tuple[float, float] | None,
    north_deg: float,
    question: Question,
) -> None:
    """Write the papers of a course: plan, setting-out sheet and files for other programs."""
    from coursecheck.checking import Shelf, check
    from coursecheck.documents import write_atomic
    from coursecheck.errors import WriteError

    shelf = Shelf()
    source = source_of(file)
    verdict = judge_plan(source, question, shelf)

    def rejudge(course: Course) -> Verdict:
        return check(
            course,
            verdict.rulebook,
            heights=question.heights,
            setting_out_m=question.setting_out_m,
            speed_mps=question.speed_mps,
            best_s=question.best_s,
            selection=question.selection,
            date=question.date,
            shelf=shelf,
        )

    options = PaperOptions(paper, line_of, not no_line, origin, north_deg, rejudge)
    made = list(make_papers(verdict, options, _listed(only), _listed(formats)))
    try:
        output.mkdir(parents=True, exist_ok=True)
    except OSError as cause:
        raise WriteError(f"{output}: cannot be made: {cause.strerror}") from cause
    for name, content in made:
        write_atomic(output / name, content)
        click.echo(f"{output / name}", err=True)


def _listed(words: tuple[str, ...]) -> tuple[str, ...]:
    """What was named, one by one or with commas between."""
    return tuple(name.strip() for word in words for name in word.split(",") if name.strip())
