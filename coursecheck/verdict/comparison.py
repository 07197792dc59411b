"""What becomes of a plan when another rulebook judges it."""

from __future__ import annotations

from dataclasses import dataclass

from coursecheck.verdict.model import Finding, Verdict

__all__ = ["VerdictChange", "verdict_change"]


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
    gone = tuple(dict.fromkeys(finding for key, finding in before.items() if key not in after))
    come = tuple(dict.fromkeys(finding for key, finding in after.items() if key not in before))
    return VerdictChange(course, old.legal, new.legal, gone, come)


def _against(verdict: Verdict) -> dict[tuple[object, ...], Finding]:
    """The findings that count against a plan, by limit, severity, subject and height class."""
    return {
        (finding.limit, finding.severity, finding.passes, finding.obstacles, height): finding
        for finding in verdict.findings
        if finding.counts_against
        for height in (verdict.scenes if finding.height is None else (finding.height,))
    }
