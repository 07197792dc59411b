"""One verdict of those for each height class by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from coursecheck.path.line import Line
from coursecheck.reports.grouping import SHOWN
from coursecheck.times import Times
from coursecheck.verdict.judge import rank
from coursecheck.verdict.model import CourseLength, Finding, Verdict

__all__ = ["Part", "merged", "part_of"]


@dataclass(frozen=True, slots=True)
class Part:
    """What a verdict says of one height class; of its findings those alone that a reader has to look at."""

    findings: tuple[Finding, ...]
    lengths: tuple[CourseLength, ...]
    times: tuple[Times, ...]


def part_of(verdict: Verdict) -> Part:
    """What is said of a height class by a verdict for it alone."""
    findings = tuple(finding.in_words() for finding in verdict.findings if finding.outcome in SHOWN)
    return Part(findings, verdict.lengths, verdict.times)


def merged(parts: Mapping[str, Part], shown: Verdict) -> Verdict:
    """One verdict of those for each height class by itself; of its findings those alone that a reader has to look at.

    Args:
        parts: what is said of each class, in the rulebook's order.
        shown: the verdict for the class whose scene is wanted; the scenes of the others are empty.
    """
    scene = next(iter(shown.scenes.values()))
    bare = replace(scene, shapes={}, line=Line(scene.line.runner, (), ()))
    return replace(
        shown,
        scenes={height: shown.scenes.get(height, bare) for height in parts},
        lengths=tuple(length for part in parts.values() for length in part.lengths),
        times=tuple(times for part in parts.values() for times in part.times),
        findings=_once({height: part.findings for height, part in parts.items()}),
    )


def _once(found: Mapping[str, Sequence[Finding]]) -> tuple[Finding, ...]:
    """The findings of all classes; those that are the same for every one are said once and for all of them."""
    if len(found) == 1:
        return tuple(finding for findings in found.values() for finding in findings)
    bare = {height: [finding._replace(height=None) for finding in findings] for height, findings in found.items()}
    first, *others = bare.values()
    common = [one for one in first if all(one in findings for findings in others)]
    own = [
        finding
        for height, findings in found.items()
        for finding, one in zip(findings, bare[height], strict=True)
        if one not in common
    ]
    order: dict[str | None, int] = {None: -1} | {height: i for i, height in enumerate(found)}
    return tuple(sorted([*common, *own], key=lambda finding: rank(finding, order)))
