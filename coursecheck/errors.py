"""The error tree.

CoursecheckError            every error of ours; the command line ends with status 2
├── DocumentError           a file could not be taken; carries all its problems
│   ├── CourseError         ... a course file
│   ├── RulebookError       ... a rulebook
│   └── WaiverError         ... a file of waivers, or a baseline
├── WriteError              a file could not be written
├── MissingPackageError     a format needs a package that is not installed
└── UsageError              a question that makes no sense: unknown limit, height, rulebook
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "CourseError",
    "CoursecheckError",
    "DocumentError",
    "MissingPackageError",
    "Problem",
    "RulebookError",
    "UsageError",
    "WaiverError",
    "WriteError",
]


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One mistake in a file.

    Attributes:
        file: the file as the user named it.
        line: 1-based line, 0 when the mistake belongs to the whole file.
        path: the key's path, such as `obstacle[2].kind`; empty for the whole file.
        wrong: what is wrong.
        right: what would be right; empty when there is nothing to add.
    """

    file: str
    line: int
    path: str
    wrong: str
    right: str = ""

    @property
    def place(self) -> str:
        """File and line, in the form that editors follow."""
        return f"{self.file}:{self.line}" if self.line else self.file

    @property
    def words(self) -> str:
        """What is wrong, and what would be right."""
        from coursecheck.language import clauses  # language.py raises errors of this module

        return clauses([self.wrong, self.right]) if self.right else self.wrong

    def __str__(self) -> str:
        return f"{self.place}: {self.path}: {self.words}" if self.path else f"{self.place}: {self.words}"


class CoursecheckError(Exception):
    """Any error of this package."""


class DocumentError(CoursecheckError):
    """A file could not be taken. `problems` holds every mistake found, in the file's order."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(str(problem) for problem in self.problems))


class CourseError(DocumentError):
    """A course file could not be taken."""


class RulebookError(DocumentError):
    """A rulebook could not be taken."""


class WaiverError(DocumentError):
    """A file of waivers or a baseline could not be taken."""


class WriteError(CoursecheckError):
    """A file could not be written; what was there before is untouched."""


class MissingPackageError(CoursecheckError):
    """A format needs a package that is not installed; the message says how to install it."""


class UsageError(CoursecheckError):
    """The question makes no sense: an unknown limit, height class, rulebook or option value."""
