"""The command `papers`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from coursecheck.cli import spoken
from coursecheck.cli.options import make_folder, number
from coursecheck.cli.selecting import question_options, source_of
from coursecheck.judging import Question, judge_plan
from coursecheck.language import say
from coursecheck.papers import SIZES_MM, PaperOptions, make_papers

if TYPE_CHECKING:
    from coursecheck.course.model import Course
    from coursecheck.verdict.model import Verdict

__all__ = ["command"]


def place(text: str) -> tuple[float, float]:
    """Latitude and longitude in degrees, such as 52.1,4.35; a usage error for anything else."""
    try:
        latitude, longitude = (float(part) for part in text.split(","))
    except ValueError as error:
        wrong = say("{text!r} is no latitude and longitude; write it like 52.1,4.35", text=text)
        raise click.BadParameter(wrong) from error
    return latitude, longitude


@spoken.command("papers")
@spoken.argument("file", metavar="FILE")
@spoken.option(
    "-o",
    "--output",
    type=Path,
    metavar="FOLDER",
    required=True,
    help="The folder for the papers; made where it is missing.",
)
@spoken.option(
    "--only",
    multiple=True,
    metavar="PAPER",
    help="Only this paper; several times. There are plan, setting-out, equipment, clipboard, submission and report.",
)
@spoken.option(
    "--format",
    "formats",
    multiple=True,
    metavar="FORMATS",
    help="One or more of html, pdf, svg, png, dxf, geojson, csv, with commas between; by default those that need "
    "nothing to install.",
)
@spoken.option(
    "--paper",
    type=click.Choice(list(SIZES_MM)),
    default="a4",
    show_default=True,
    help="What it is printed on; the clipboard card is A5 and the report A4 whatever is asked for.",
)
@spoken.option(
    "--line", "line_of", metavar="CLASS", help="Draw the line of this height class; by default of the last."
)
@spoken.option("--no-line", is_flag=True, help="Draw no line: the plan for competitors.")
@spoken.option(
    "--origin",
    type=place,
    metavar="LAT,LON",
    help="Where the bottom left of the plan lies on the earth, for GeoJSON in WGS 84.",
)
@spoken.option(
    "--north",
    "north_deg",
    type=number,
    default="0",
    metavar="DEG",
    help="True bearing of up the plan; with --origin.",
)
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
    from coursecheck.checking import check
    from coursecheck.documents import write_atomic
    from coursecheck.plans import Shelf

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
    make_folder(output)
    for name, content in made:
        write_atomic(output / name, content)
        click.echo(f"{output / name}", err=True)


def _listed(words: tuple[str, ...]) -> tuple[str, ...]:
    """What was named, one by one or with commas between."""
    return tuple(name.strip() for word in words for name in word.split(",") if name.strip())
