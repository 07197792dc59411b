"""Findings that somebody accepted: an overlay on a verdict that hides nothing.

A waiver, or an entry of a baseline, belongs to a finding by limit, obstacles and height class, not by line numbers or
pass numbers, so that it outlives an edit of the plan. It holds while the value is no worse than what was accepted.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from coursecheck.language import labelled, say, say_count, to_say, written
from coursecheck.units import FLOAT_NOISE, format_figure
from coursecheck.verdict.model import Finding, Verdict, Waiver

__all__ = [
    "BASELINE_REASON",
    "Acceptance",
    "accept_baseline",
    "accept_waivers",
    "acceptance_of",
    "broken_now",
    "identity",
]

BASELINE_REASON = to_say("in the baseline")


@dataclass(frozen=True, slots=True)
class Acceptance:
    """One accepted finding.

    Attributes:
        limit: the limit's id.
        obstacles: their ids, sorted, each once; empty for the course as a whole.
        height: the height class, or None for every class.
        measured: the value that was accepted: in the unit of the measure (metres, square metres, degrees, seconds, a
            count), or the name of a kind; None where it could not be measured.
        who, reason: who accepted it, and why.
        until: the last day it holds, or None.
        place: where it stands, for messages.
    """

    limit: str
    obstacles: tuple[str, ...]
    height: str | None
    measured: float | str | None
    who: str
    reason: str
    until: datetime.date | None = None
    place: str = field(default="", compare=False)

    @property
    def subject(self) -> str:
        """What it is about, in words."""
        about = self.limit
        if self.obstacles:
            about = say("{limit} at {names}", limit=about, names=", ".join(self.obstacles))
        return say("{limit} for {height}", limit=about, height=self.height) if self.height else about


def identity(finding: Finding) -> tuple[str, tuple[str, ...]]:
    """What a finding is known by from one run to the next, height class aside: its limit and its obstacles."""
    return finding.limit, tuple(sorted(set(finding.obstacles)))


def acceptance_of(finding: Finding, who: str, reason: str, until: datetime.date | None = None) -> Acceptance:
    """The acceptance that covers a finding just as it is; the value is kept to the micrometre."""
    limit, obstacles = identity(finding)
    measured = round(finding.measured, 6) if isinstance(finding.measured, float) else finding.measured
    return Acceptance(limit, obstacles, finding.height, measured, who, reason, until)


@dataclass(slots=True)
class _Overlay:
    """Accepted findings put on a verdict, and what became of each acceptance."""

    acceptances: Sequence[Acceptance]
    heights: Sequence[str]
    used: set[int] = field(default_factory=set)
    worse: dict[int, Finding] = field(default_factory=dict)

    def findings(self, findings: Iterable[Finding]) -> Iterator[Finding]:
        """The findings with their waivers; one of all classes is split where only some of them are covered."""
        index: dict[tuple[str, tuple[str, ...]], list[int]] = {}
        for i, acceptance in enumerate(self.acceptances):
            index.setdefault((acceptance.limit, acceptance.obstacles), []).append(i)
        for finding in findings:
            here = index.get(identity(finding), []) if finding.counts_against else []
            yield from self._waived(finding, here) if here else (finding,)

    def _waived(self, finding: Finding, here: Sequence[int]) -> Iterator[Finding]:
        heights = self.heights if finding.height is None else (finding.height,)
        waivers = {height: self._waiver(finding, height, here) for height in heights}
        if len(set(waivers.values())) == 1:
            yield finding._replace(waived=waivers[heights[0]])
            return
        for height, waiver in waivers.items():
            yield finding._replace(height=height, waived=waiver)

    def _waiver(self, finding: Finding, height: str, here: Sequence[int]) -> Waiver | None:
        fitting = [i for i in here if self.acceptances[i].height in (None, height)]
        for i in fitting:
            if _no_worse(finding, self.acceptances[i]):
                self.used.add(i)
                return Waiver(self.acceptances[i].who, self.acceptances[i].reason)
        self.worse |= {i: finding for i in fitting if i not in self.worse}
        return None


def _no_worse(finding: Finding, acceptance: Acceptance) -> bool:
    """Whether the value is no further beyond its bound, on the same side, than the one that was accepted."""
    measured, accepted = finding.measured, acceptance.measured
    if not isinstance(measured, float | int) or not isinstance(accepted, float | int):
        return measured == accepted
    if finding.min is not None and measured < finding.min:
        return measured >= accepted - FLOAT_NOISE
    return measured <= accepted + FLOAT_NOISE


def accept_waivers(verdict: Verdict, waivers: Sequence[Acceptance], date: datetime.date | None) -> Verdict:
    """The verdict with waivers; each that lapsed, ended, or fits nothing any more is told in the notes.

    Args:
        verdict: as judged.
        waivers: those of the plan.
        date: the day to judge them on. No clock is read: without a date every waiver holds, and one that is to end
            some day is noted.
    """
    ended = [waiver for waiver in waivers if date and waiver.until and date > waiver.until]
    live = [waiver for waiver in waivers if waiver not in ended]
    overlay = _Overlay(live, list(verdict.scenes))
    findings = tuple(overlay.findings(verdict.findings))
    notes = [
        say(
            "{place}: the waiver of {what} ended on {day}",
            place=waiver.place,
            what=waiver.subject,
            day=waiver.until,
        )
        for waiver in ended
    ]
    for i, waiver in enumerate(live):
        if i in overlay.worse:
            was, now = _value_words(waiver.measured, overlay.worse[i]), _measured_words(overlay.worse[i])
            told = say(
                "{place}: the waiver of {what} lapsed: accepted at {was}, now {now}",
                place=waiver.place,
                what=waiver.subject,
                was=was,
                now=now,
            )
            notes.append(told)
        elif i not in overlay.used:
            notes += _stale_notes(waiver, verdict)
        elif waiver.until and date is None:
            told = say(
                "{place}: the waiver of {what} holds until {day}, which was not held against any date; give one with "
                "--date",
                place=waiver.place,
                what=waiver.subject,
                day=waiver.until,
            )
            notes.append(told)
    return replace(verdict, findings=findings, notes=(*verdict.notes, *notes))


def _value_words(value: float | str | None, finding: Finding) -> str:
    if isinstance(value, float | int):
        return format_figure(value, finding.unit, decimals=3) if finding.unit == "m" else written(value, "g")
    return say(value) if value else say("no value")


def _measured_words(finding: Finding) -> str:
    return say("not measurable") if finding.measured is None else _value_words(finding.measured, finding)


def _stale_notes(waiver: Acceptance, verdict: Verdict) -> Iterator[str]:
    """That a waiver fits nothing, and why; nothing where what it is about was not judged this time."""
    if waiver.limit in verdict.left_out or waiver.height in _not_judged(verdict):
        return
    opening = say("{place}: the waiver of {what} fits no finding", place=waiver.place, what=waiver.subject)
    book = verdict.rulebook.id
    strange = [name for name in waiver.obstacles if all(name != own.id for own in verdict.course.obstacles)]
    if all(waiver.limit != row.id for row in verdict.rulebook.limits):
        why = say("{rulebook} has no such limit", rulebook=book)
    elif strange:
        why = say("the plan has no obstacle {name}", name=strange[0])
    elif waiver.height and waiver.height not in verdict.rulebook.heights:
        why = say("{rulebook} has no height class {height}", rulebook=book, height=waiver.height)
    else:
        why = say("nothing is broken there any more")
    yield labelled(opening, why)


def _not_judged(verdict: Verdict) -> set[str]:
    return set(verdict.rulebook.heights) - set(verdict.scenes)


def broken_now(verdict: Verdict) -> tuple[Acceptance, ...]:
    """What a baseline keeps of a verdict: what counts against the plan, and what an older baseline still covers."""
    kept = (f for f in verdict.findings if f.counts_against or (f.waived and f.waived.reason == BASELINE_REASON))
    return tuple(acceptance_of(finding, "", BASELINE_REASON) for finding in kept)


def accept_baseline(verdict: Verdict, entries: Sequence[Acceptance]) -> Verdict:
    """The verdict with what an older run had found already; a count of the entries that fit nothing any more."""
    overlay = _Overlay(entries, list(verdict.scenes))
    findings = tuple(overlay.findings(verdict.findings))
    absent = _not_judged(verdict)
    gone = sum(
        i not in overlay.used
        and i not in overlay.worse
        and entry.limit not in verdict.left_out
        and entry.height not in absent
        for i, entry in enumerate(entries)
    )
    told = say_count(
        "{count} finding of the baseline fit nothing any more; write it anew",
        "{count} findings of the baseline fit nothing any more; write it anew",
        gone,
    )
    return replace(verdict, findings=findings, notes=(*verdict.notes, *([told] if gone else [])))
