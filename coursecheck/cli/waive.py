"""The command `waive`."""

from __future__ import annotations

import datetime

import click

from coursecheck.cli import spoken
from coursecheck.cli.selecting import day
from coursecheck.errors import UsageError
from coursecheck.judging import Question, Source, judge_plan, waivers_path
from coursecheck.language import clauses, say
from coursecheck.verdict.acceptance import Acceptance, acceptance_of, identity
from coursecheck.verdict.model import Finding, Verdict
from coursecheck.verdict.waivers import add_waivers

__all__ = ["command"]


@spoken.command("waive")
@spoken.argument("file", metavar="FILE")
@spoken.argument("limit", metavar="LIMIT")
@spoken.argument("obstacles", nargs=-1, metavar="[OBSTACLE]...")
@spoken.option("--reason", required=True, metavar="TEXT", help="Why it is accepted.")
@spoken.option("--who", required=True, metavar="NAME", help="Who accepts it.")
@spoken.option(
    "--until", type=day, metavar="DAY", help="The last day it holds; --date tells the check which day it is."
)
@spoken.option("--height", metavar="CLASS", help="Only for this height class.")
def command(
    file: str,
    limit: str,
    obstacles: tuple[str, ...],
    reason: str,
    who: str,
    until: datetime.date | None,
    height: str | None,
) -> None:
    """Accept a finding: it stays in every report, but no longer counts against the plan until it gets worse.

    LIMIT is the limit's id and OBSTACLE are the ids of the finding, in any order; left out where the limit
    is broken at one place only. The waiver is written to NAME.waivers.toml beside NAME.course.toml.
    """
    if file == "-":
        raise UsageError(say("a plan from standard input has no file to write its waivers beside"))
    verdict = judge_plan(Source(file), Question(), waivers=False)
    findings = _findings(verdict, limit, tuple(sorted(set(obstacles))), height)
    accepted: dict[tuple[object, ...], Acceptance] = {}
    for finding in sorted(findings, key=lambda finding: finding.margin or 0.0):
        waiver = acceptance_of(finding, who, reason, until)
        accepted.setdefault((waiver.limit, waiver.obstacles, waiver.height), waiver)
    path = waivers_path(file)
    add_waivers(path, list(accepted.values()))
    for finding in findings:
        click.echo(say("{file}: accepted: {finding}", file=path, finding=finding.message))


def _findings(verdict: Verdict, limit: str, obstacles: tuple[str, ...], height: str | None) -> list[Finding]:
    """The findings that are meant."""
    book = verdict.rulebook
    known = list(dict.fromkeys(row.id for row in book.limits))
    if limit not in known:
        from coursecheck.documents import nearest

        hint = nearest(limit, known)
        raise UsageError(say('{rulebook} has no limit "{limit}"; {hint}', rulebook=book.id, limit=limit, hint=hint))
    if height is not None and height not in verdict.scenes:
        heights = ", ".join(verdict.scenes)
        raise UsageError(say("the plan is not judged for {word!r}; it is for {known}", word=height, known=heights))
    broken = [f for f in verdict.findings if f.limit == limit and f.counts_against]
    places = list(dict.fromkeys(identity(finding)[1] for finding in broken))
    if not places:
        raise UsageError(say("{limit} is not broken in this plan: there is nothing to accept", limit=limit))
    chosen = obstacles or places[0]
    if chosen not in places or (not obstacles and len(places) > 1):
        listed = clauses(" ".join(place) or say("the course as a whole") for place in places)
        wrong = say("{limit} is broken at: {places}; name the obstacles of one of them", limit=limit, places=listed)
        raise UsageError(wrong)
    return _of_height([finding for finding in broken if identity(finding)[1] == chosen], height)


def _of_height(findings: list[Finding], height: str | None) -> list[Finding]:
    if height is None:
        return findings
    own = [f._replace(height=height) for f in findings if f.height in (None, height)]
    if not own:
        others = ", ".join(finding.height or "" for finding in findings)
        raise UsageError(say("it is not broken for {height}, but for {others}", height=height, others=others))
    return own
