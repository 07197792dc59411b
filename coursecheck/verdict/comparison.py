"""What becomes of a plan when another rulebook judges it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coursecheck.verdict.model import Finding, Verdict

__all__ = ["VerdictChange", "verdict_change"]

_Subject = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class VerdictChange:
    """A plan judged by two rulebooks.

    Attributes:
        course: the plan's file or title.
        was, now: whether it is legal by the old and by the new rulebook.
        gone: what counted against it by the old rulebook alone. come: by the new one alone.
        why_not: why it was not judged by both; the rest then means nothing.
    """

    course: str
    was: bool = False
    now: bool = False
    gone: tuple[Finding, ...] = ()
    come: tuple[Finding, ...] = ()
    why_not: str = ""

    @property
    def changed(self) -> bool:
        """Whether the verdict is another one."""
        return not self.why_not and self.was != self.now


def verdict_change(course: str, old: Verdict, new: Verdict) -> VerdictChange:
    """What the new verdict on a plan says otherwise than the old one; findings that count against it alone."""
    before, after = _against(old), _against(new)
    return VerdictChange(course, old.legal, new.legal, _only_in(before, after), _only_in(after, before))


def _only_in(these: Mapping[_Subject, Finding], others: Mapping[_Subject, Finding]) -> tuple[Finding, ...]:
    """The findings that others do not have; one that holds for several height classes stands there once."""
    return tuple({id(finding): finding for key, finding in these.items() if key not in others}.values())


def _against(verdict: Verdict) -> dict[_Subject, Finding]:
    """The findings that count against a plan, by limit, severity, subject and height class."""
    return {
        (finding.limit, finding.severity, finding.passes, finding.obstacles, height): finding
        for finding in verdict.findings
        if finding.counts_against
        for height in (verdict.scenes if finding.height is None else (finding.height,))
    }
