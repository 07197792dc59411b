"""What is asked of a plan: the options that `check`, `report` and others share, made into one question."""

from __future__ import annotations

import datetime
import functools
import sys
from collections.abc import Callable
from typing import Any

import click

from coursecheck.cli import spoken
from coursecheck.cli.options import best_option, heights_option, setting_out_option, speed_option
from coursecheck.errors import CourseError, Problem
from coursecheck.judging import Question, Source
from coursecheck.language import say
from coursecheck.verdict.selection import Selection

__all__ = ["day", "question_options", "source_of"]


def day(text: str) -> datetime.date:
    """A day such as 2026-05-01; a usage error for anything else."""
    try:
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        raise click.BadParameter(say("{text!r} is no day; write it like 2026-05-01", text=text)) from error


_OPTIONS = (
    spoken.option(
        "--select",
        multiple=True,
        metavar="ID",
        help="Judge only this limit or measure, or a pattern such as 'tunnel-*'; several times.",
    ),
    spoken.option("--ignore", multiple=True, metavar="ID", help="Leave this limit or measure out; several times."),
    spoken.option(
        "--date",
        type=day,
        metavar="DAY",
        help="The day of the show: tells when the rulebook is not in force then, and ends waivers.",
    ),
    spoken.option("--baseline", metavar="FILE", help="Accept what this baseline has, as long as it gets no worse."),
    heights_option,
    speed_option,
    best_option,
    setting_out_option,
)


def question_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Gives a command the options of a question, and their values as one argument `question`."""

    @functools.wraps(command)
    def asked_for(
        *,
        select: tuple[str, ...],
        ignore: tuple[str, ...],
        date: datetime.date | None,
        baseline: str | None,
        heights: tuple[str, ...],
        speed_mps: float | None,
        best_s: float | None,
        setting_out_m: float | None,
        **others: Any,
    ) -> Any:
        question = Question(
            heights=heights,
            setting_out_m=setting_out_m,
            speed_mps=speed_mps,
            best_s=best_s,
            selection=Selection(select, ignore),
            date=date,
            baseline=_baseline(baseline),
        )
        return command(question=question, **others)

    asked: Callable[..., Any] = asked_for
    for option in reversed(_OPTIONS):
        asked = option(asked)
    return asked


def _baseline(name: str | None) -> Any:
    if name is None:
        return None
    from coursecheck.verdict.baseline import read_baseline

    return read_baseline(name)


def source_of(name: str) -> Source:
    """The plan of that name; "-" is read from standard input now.

    Raises:
        CourseError: standard input is not UTF-8.
    """
    if name != "-":
        return Source(name)
    try:
        return Source("<stdin>", sys.stdin.buffer.read().decode())
    except UnicodeDecodeError as error:
        problem = Problem("<stdin>", 0, "", say("not UTF-8"), say("save the file as UTF-8 text"))
        raise CourseError([problem]) from error
