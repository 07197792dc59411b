"""Check a dog-agility course plan: legality, lengths, times.

    import coursecheck

    course, rulebook = coursecheck.load_plan("saltmarsh.course.toml")
    verdict = coursecheck.check(course, rulebook)
    print(verdict.legal, verdict.lengths, verdict.times)

Everything public is imported when it is first used, so that `coursecheck --help` stays quick.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from coursecheck.version import __version__

if TYPE_CHECKING:
    from coursecheck.checking import check, measure_course, measured_lengths, times, wheel_checks, wheeled_lengths
    from coursecheck.errors import CoursecheckError, CourseError, RulebookError, UsageError, WaiverError
    from coursecheck.plans import load_course, load_plan, load_rulebook, plan_from_text, shipped_rulebooks

__all__ = [
    "CourseError",
    "CoursecheckError",
    "RulebookError",
    "UsageError",
    "WaiverError",
    "__version__",
    "check",
    "load_course",
    "load_plan",
    "load_rulebook",
    "measure_course",
    "measured_lengths",
    "plan_from_text",
    "shipped_rulebooks",
    "times",
    "wheel_checks",
    "wheeled_lengths",
]

_READING = {"load_course", "load_plan", "load_rulebook", "plan_from_text", "shipped_rulebooks"}


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module = "errors" if name.endswith("Error") else "plans" if name in _READING else "checking"
    return getattr(importlib.import_module(f"coursecheck.{module}"), name)


def __dir__() -> list[str]:
    return list(__all__)
