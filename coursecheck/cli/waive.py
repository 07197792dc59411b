"""The command `waive`."""

from __future__ import annotations

import datetime

import click

from coursecheck.cli.selecting import day
from coursecheck.errors import UsageError
from coursecheck.judging import Question, Source, judge_plan, waivers_path
from coursecheck.verdict.acceptance import Acceptance, acceptance_of, identity
from coursecheck.verdict.model import Finding, Verdict
from coursecheck.verdict.waivers import add_waivers

__all__ = ["command"]


@click.command("waive")
@click.argument("file")
@click.argument("limit")
@click.argument("obstacles", nargs=-1, metavar="[OBSTACLE]...")
@click.option("--reason", required=True, metavar="TEXT", help="Why it is accepted.")
@click.option("--who", required=True, metavar="NAME", help="Who accepts it.")
@click.option(
    "--until", type=day, metavar="DAY", help="The last day it holds; --date tells the check which day it is."
)
@click.option("--height", metavar="CLASS", help="Only for this height class.")
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
        raise UsageError("a plan from standard input has no file to write its waivers beside")
    verdict = judge_plan(Source(file), Question(), waivers=False)
    findings = _findings(verdict, limit, tuple(sorted(set(obstacles))), height)
    accepted: dict[tuple[object, ...], Acceptance] = {}
    for finding in sorted(findings, key=lambda finding: finding.margin or 0.0):
        waiver = acceptance_of(finding, who, reason, until)
        accepted.setdefault((waiver.limit, waiver.obstacles, waiver.height), waiver)
    path = waivers_path(file)
    add_waivers(path, list(accepted.values()))
    for finding in findings:
        click.echo(f"{path}: accepted: {finding.message}")


def _findings(verdict: Verdict, limit: str, obstacles: tuple[str, ...], height: str | None) -> list[Finding]:
    """The findings that are meant."""
    book = verdict.rulebook
    known = list(dict.fromkeys(row.id for row in book.limits))
    if limit not in known:
        from coursecheck.documents import nearest

        raise UsageError(f'{book.id} has no limit "{limit}"; {nearest(limit, known)}')
    if height is not None and height not in verdict.scenes:
        raise UsageError(f"the plan is not judged for {height!r}; it is for {', '.join(verdict.scenes)}")
    broken = [f for f in verdict.findings if f.limit == limit and f.counts_against]
    places = list(dict.fromkeys(identity(finding)[1] for finding in broken))
    if not places:
        raise UsageError(f"{limit} is not broken in this plan: there is nothing to accept")
    chosen = obstacles or places[0]
    if chosen not in places or (not obstacles and len(places) > 1):
        listed = "; ".join(" ".join(place) or "the course as a whole" for place in places)
        raise UsageError(f"{limit} is broken at: {listed}; name the obstacles of one of them")
    return _of_height([finding for finding in broken if identity(finding)[1] == chosen], height)


def _of_height(findings: list[Finding], height: str | None) -> list[Finding]:
    if height is None:
        return findings
    own = [f._replace(height=height) for f in findings if f.height in (None, height)]
    if not own:
        raise UsageError(f"it is not broken for {height}, but for {', '.join(f.height or '' for f in findings)}")
    return own
