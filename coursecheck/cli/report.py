"""The command `report`."""

from __future__ import annotations

from pathlib import Path

import click

from coursecheck.checking import check
from coursecheck.cli.check import read_plan
from coursecheck.cli.options import best_option, heights_option, setting_out_option, speed_option, write

__all__ = ["command"]


@click.command("report")
@click.argument("file")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path, dir_okay=False), required=True, help="The HTML file to write."
)
@heights_option
@speed_option
@best_option
@setting_out_option
def command(
    file: str,
    output: Path,
    heights: tuple[str, ...],
    speed_mps: float | None,
    best_s: float | None,
    setting_out_m: float | None,
) -> None:
    """Write the judge's report on a plan: one HTML file that needs no network and prints on A4."""
    from coursecheck.reports.html import render_html

    course, rulebook = read_plan(file)
    verdict = check(
        course,
        rulebook,
        heights=heights,
        setting_out_m=setting_out_m,
        speed_mps=speed_mps,
        best_s=best_s,
    )
    write(render_html(verdict), output)
    click.echo(f"{output}: {'legal' if verdict.legal else 'not legal'}", err=True)
