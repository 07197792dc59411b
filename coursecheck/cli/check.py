"""The command `check`."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import click

from coursecheck.checking import check, load_plan, plan_from_text
from coursecheck.cli.options import (
    FIRST_GRAVE,
    best_option,
    heights_option,
    setting_out_option,
    speed_option,
    wants_colour,
    write,
)
from coursecheck.course.model import Course
from coursecheck.errors import CoursecheckError, CourseError, Problem
from coursecheck.rulebook.model import Rulebook
from coursecheck.verdict.model import Verdict

__all__ = ["command", "read_plan"]


def read_plan(name: str) -> tuple[Course, Rulebook]:
    """The course of that file, or of standard input for "-", and the rulebook that it names."""
    if name != "-":
        return load_plan(name)
    try:
        text = sys.stdin.buffer.read().decode()
    except UnicodeDecodeError as error:
        raise CourseError([Problem("<stdin>", 0, "", "not UTF-8", "save the file as UTF-8")]) from error
    return plan_from_text(text, "<stdin>")


@click.command("check")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "concise", "json"]),
    default="text",
    show_default=True,
    help="text to read, concise for one line a finding, json for programs.",
)
@click.option("-o", "--output", type=click.Path(path_type=Path, dir_okay=False), help="Write here instead.")
@click.option(
    "--fail-on",
    type=click.Choice(FIRST_GRAVE),
    default="must",
    show_default=True,
    help="The least severity whose breach gives status 1.",
)
@heights_option
@speed_option
@best_option
@setting_out_option
def command(
    files: tuple[str, ...],
    form: str,
    output: Path | None,
    fail_on: str,
    heights: tuple[str, ...],
    speed_mps: float | None,
    best_s: float | None,
    setting_out_m: float | None,
) -> None:
    """Judge course plans by the rulebook that each names; - reads a plan from standard input.

    Status 0: nothing at or above --fail-on; 1: something is; 2: a question could not be answered.
    """
    verdicts: list[Verdict] = []
    failed = False
    for name in files:
        try:
            course, rulebook = read_plan(name)
            verdicts.append(
                check(
                    course,
                    rulebook,
                    heights=heights,
                    setting_out_m=setting_out_m,
                    speed_mps=speed_mps,
                    best_s=best_s,
                )
            )
        except CoursecheckError as error:
            failed = True
            click.echo(str(error), err=True)
    if verdicts:
        write(_rendered(verdicts, form, colour=output is None and wants_colour()), output)
    grave = fail_on != "never" and any(verdict.at_or_above(fail_on) for verdict in verdicts)
    click.get_current_context().exit(2 if failed else int(grave))


def _rendered(verdicts: list[Verdict], form: str, *, colour: bool) -> str:
    if form == "json":
        from coursecheck.reports.as_json import render_json, render_json_list

        return render_json(verdicts[0]) if len(verdicts) == 1 else render_json_list(verdicts)
    from coursecheck.reports.terminal import render_concise, render_text

    if form == "concise":
        return "".join(render_concise(verdict) for verdict in verdicts)
    width = shutil.get_terminal_size((100, 24)).columns
    return "\n".join(render_text(verdict, colour=colour, width=width) for verdict in verdicts)
