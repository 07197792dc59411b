"""The command `times`."""

from __future__ import annotations

import click

from coursecheck.checking import measured_lengths, times, wheel_checks, wheeled_lengths
from coursecheck.cli.options import best_option, heights_option, positive, speed_option, wants_colour, write
from coursecheck.cli.selecting import source_of
from coursecheck.judging import read_plan

__all__ = ["command"]


@click.command("times")
@click.argument("file")
@click.option("--length", "length_m", type=positive, metavar="M", help="The wheel's figure instead of the plan's.")
@heights_option
@speed_option
@best_option
@click.option("--sct", "sct_s", type=positive, metavar="S", help="The SCT, where the judge enters it from a table.")
@click.option("--mct", "mct_s", type=positive, metavar="S", help="The MCT, where the judge enters it.")
def command(
    file: str,
    length_m: float | None,
    heights: tuple[str, ...],
    speed_mps: float | None,
    best_s: float | None,
    sct_s: float | None,
    mct_s: float | None,
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
