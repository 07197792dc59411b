"""The command `times`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from coursecheck.checking import check, measured_lengths, times, wheel_checks, wheeled_lengths
from coursecheck.cli import spoken
from coursecheck.cli.options import (
    best_option,
    heights_option,
    positive,
    speed_option,
    wants_colour,
    write,
)
from coursecheck.cli.selecting import source_of
from coursecheck.judging import read_plan
from coursecheck.units import FOOT_M

if TYPE_CHECKING:
    from coursecheck.verdict.model import Verdict
    from coursecheck.wheel import WheelCheck

__all__ = ["command"]


def length(text: str) -> float:
    """A length above 0 in metres, written as such or in feet."""
    feet = text.strip().removesuffix("ft")
    return positive(text) if feet == text.strip() else positive(feet) * FOOT_M


@spoken.command("times")
@spoken.argument("file", metavar="FILE")
@spoken.option(
    "--length",
    "length_m",
    type=length,
    metavar="M",
    help="The wheel's figure instead of the plan's, in metres, or in feet as in 598.5ft.",
)
@heights_option
@speed_option
@best_option
@spoken.option("--sct", "sct_s", type=positive, metavar="S", help="The SCT, where the judge enters it from a table.")
@spoken.option("--mct", "mct_s", type=positive, metavar="S", help="The MCT, where the judge enters it.")
@spoken.option(
    "--card",
    type=Path,
    metavar="FILE",
    help="Write the clipboard card with these times, as HTML or, where the name ends in .pdf, as PDF.",
)
def command(
    file: str,
    length_m: float | None,
    heights: tuple[str, ...],
    speed_mps: float | None,
    best_s: float | None,
    sct_s: float | None,
    mct_s: float | None,
    card: Path | None,
) -> None:
    """Print length, standard and maximum course time for each height class."""
    from coursecheck.reports.times_table import render_times

    course, rulebook = read_plan(source_of(file))
    if length_m is None:
        lengths = measured_lengths(course, rulebook, heights)
    else:
        lengths = wheeled_lengths(course, rulebook, length_m, heights)
    wheel = () if length_m is None else wheel_checks(course, rulebook, length_m, heights)
    reckoned = times(course, rulebook, lengths, speed_mps=speed_mps, best_s=best_s, sct_s=sct_s, mct_s=mct_s)
    write(render_times(course, lengths, reckoned, wheel=wheel, colour=wants_colour()), None)
    if card is not None:
        verdict = check(course, rulebook, heights=heights, speed_mps=speed_mps, best_s=best_s)
        _write_card(replace(verdict, lengths=lengths, times=reckoned), wheel, card)


def _write_card(verdict: Verdict, wheel: Sequence[WheelCheck], path: Path) -> None:
    """The clipboard card with the times of the day."""
    from coursecheck.documents import write_atomic
    from coursecheck.papers import PaperOptions
    from coursecheck.papers.clipboard import render_card
    from coursecheck.papers.pdf import pdf_of

    page = render_card(verdict, PaperOptions(), wheel)
    write_atomic(path, pdf_of(page) if path.suffix.lower() == ".pdf" else page.encode())
    click.echo(f"{path}", err=True)
