"""A plan as a tape sets it out, to round figures, and what that does to the limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from coursecheck.course.model import Course, Obstacle
from coursecheck.papers.baselines import Baseline, rounded
from coursecheck.units import FOOT_M
from coursecheck.verdict.model import OUTCOMES, Finding, Verdict

__all__ = ["STEP_M", "Effect", "effects", "longest_change_m", "rounded_course"]

STEP_M: Mapping[str, float] = {"m": 0.05, "ft": 0.1 * FOOT_M}
"""What a tape is read to when obstacles are set down, by the units of the plan; common practice, no source."""

_Subject = tuple[str, str | None, tuple[int, ...], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Effect:
    """A limit whose outcome is graver once the plan is rounded.

    Attributes:
        before: the outcome as drawn.
        after: the finding on the rounded plan.
    """

    before: str
    after: Finding


def rounded_course(course: Course, baseline: Baseline, step_m: float) -> Course:
    """The same plan with every obstacle moved to round distances along and off the base line; bearings stay."""
    return replace(course, obstacles=tuple(_moved(o, baseline, step_m) for o in course.obstacles))


def _moved(obstacle: Obstacle, baseline: Baseline, step_m: float) -> Obstacle:
    exact = baseline.locate(obstacle.at)
    along, off = (rounded(value, step_m) for value in exact)
    if max(abs(along - exact[0]), abs(off - exact[1])) < 1e-9:
        return obstacle  # it stands there already: no dust of the arithmetic
    x, y = baseline.place(along, off)
    return replace(obstacle, at=(round(x, 9) + 0.0, round(y, 9) + 0.0))


def effects(before: Verdict, after: Verdict) -> Iterator[Effect]:
    """The findings that are graver after than before, each subject once, in the order of the verdict."""
    known, now = _gravest(before), _gravest(after)
    for subject, finding in now.items():
        old = known[subject].outcome if subject in known else "not-applicable"
        if _grave(finding.outcome) < _grave(old):
            yield Effect(old, finding)


def _gravest(verdict: Verdict) -> dict[_Subject, Finding]:
    """The gravest finding of each limit, class and subject; the verdict has them gravest first."""
    found: dict[_Subject, Finding] = {}
    for finding in verdict.findings:
        found.setdefault((finding.limit, finding.height, finding.passes, finding.obstacles), finding)
    return found


def _grave(outcome: str) -> int:
    """The lower, the graver; what is met and what does not apply are alike."""
    return min(OUTCOMES.index(outcome), OUTCOMES.index("met"))


def longest_change_m(before: Verdict, after: Verdict) -> float | None:
    """By how much the course length of any height class changes at most; None where a length is missing."""
    pairs = [(a.length_m, b.length_m) for a, b in zip(before.lengths, after.lengths, strict=True)]
    changes = [abs(a - b) for a, b in pairs if a is not None and b is not None]
    return max(changes) if changes and len(changes) == len(pairs) else None
