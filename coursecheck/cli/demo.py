"""The command `demo`."""

from __future__ import annotations

import shutil
from pathlib import Path

import click

from coursecheck.checking import check
from coursecheck.cli import spoken
from coursecheck.cli.options import make_folder, wants_colour, write
from coursecheck.language import say
from coursecheck.plans import load_plan
from coursecheck.resources import sample

__all__ = ["command"]


@spoken.command("demo")
@spoken.option(
    "-o",
    "--output",
    type=Path,
    metavar="FOLDER",
    default="coursecheck-demo",
    show_default=True,
    help="The folder for the sample course and its report.",
)
def command(output: Path) -> None:
    """Run the main job on a sample course and say where its report is."""
    from coursecheck.documents import write_atomic
    from coursecheck.papers.report import judges_report
    from coursecheck.reports.terminal import render_text

    make_folder(output)
    plan = output / "saltmarsh.course.toml"
    write_atomic(plan, sample("saltmarsh").read_bytes())
    verdict = check(*load_plan(plan))
    report = output / "report.html"
    write_atomic(report, judges_report(verdict).encode())
    width = shutil.get_terminal_size((100, 24)).columns
    write(render_text(verdict, colour=wants_colour(), width=width), None)
    told = say(
        "The plan is in {plan}, the judge's report in {report}: open it in a browser.", plan=plan, report=report
    )
    click.echo(f"\n{told}")
