"""The command `report`."""

from __future__ import annotations

from pathlib import Path

import click

from coursecheck.cli import spoken
from coursecheck.cli.options import write
from coursecheck.cli.selecting import question_options, source_of
from coursecheck.judging import Question, judge_plan
from coursecheck.language import labelled

__all__ = ["command"]


@spoken.command("report")
@spoken.argument("file", metavar="FILE")
@spoken.option("-o", "--output", type=Path, required=True, metavar="FILE", help="The HTML file to write.")
@question_options
def command(file: str, output: Path, question: Question) -> None:
    """Write the judge's report on a plan: one HTML file that needs no network and prints on A4."""
    from coursecheck.papers.report import judges_report
    from coursecheck.reports.wording import verdict_words

    verdict = judge_plan(source_of(file), question)
    write(judges_report(verdict), output)
    click.echo(labelled(str(output), verdict_words(verdict)), err=True)
