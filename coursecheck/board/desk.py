"""The course file under the board: opened, kept, saved, and what happens when somebody else changes it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coursecheck.board.journal import Journal
from coursecheck.board.tables import Library, page_tables
from coursecheck.course.model import Course, Ring
from coursecheck.course.writing import render_course
from coursecheck.documents import write_atomic
from coursecheck.documents.causes import cause_words
from coursecheck.equipment import KINDS
from coursecheck.errors import CoursecheckError, CourseError, WriteError
from coursecheck.language import say

__all__ = ["Desk", "empty_course"]

_SIZE_M = (30.0, 40.0)


def empty_course(library: Library, title: str) -> Course:
    """A ring of 30 by 40 m with nothing in it, judged as a club show."""
    book = library.book("club-show")
    discipline, grades = next(iter(book.disciplines.items()))
    x, y = _SIZE_M
    return Course(
        title=title,
        rulebook="club-show",
        discipline=discipline,
        grade=grades[0],
        ring=Ring(((0.0, 0.0), (x, 0.0), (x, y), (0.0, y))),
        obstacles=(),
        passes=(),
    )


@dataclass(frozen=True, slots=True)
class _OnDisk:
    """The file as it was read: its text, None where there is no file yet, and the SHA-256 of its bytes."""

    text: str | None
    sha256: str


class Desk:
    """One course file on the board.

    Every state is put into the text that the file had when it was opened: the same state always gives the same bytes,
    and undoing everything gives back the file as it was.

    Args:
        file: the course file; it need not exist yet.

    Attributes:
        library: reads plans and rulebooks.
        current: the tables of the newest state.
        restored: what the journal of a board that broke off held, or None.
        conflict: whether the file was changed by somebody else since.
        gone: whether there was no file any more when it was last looked for.

    Raises:
        CourseError: the file cannot be taken.
        WriteError: nothing can be written beside it.
    """

    def __init__(self, file: Path) -> None:
        self.file = file
        self.library = Library(file.parent)
        self._disk = self._base = self._read()
        course = self._course_in(self._base)
        self.current = page_tables(course)
        self.conflict = self.gone = False
        self._pending: dict[str, Any] | None = None
        self._journal = Journal(file)
        self.restored = self._to_restore()

    @property
    def ours(self) -> bool:
        """Whether this board may write the file: no other board has it open."""
        return self._journal.ours

    @property
    def exists(self) -> bool:
        """Whether there was a file when it was last read or written."""
        return self._disk.text is not None

    @property
    def pending(self) -> bool:
        """Whether there is something that is not in the file yet."""
        return self._pending is not None

    def keep(self, tables: dict[str, Any]) -> None:
        """Notes a state in the journal, to be saved when the hand rests.

        Raises:
            CourseError: the state is no plan; nothing is noted.
            WriteError: another board has the file.
        """
        if not self.ours:
            raise WriteError(say("{file}: is open in another board; this one reads only", file=self.file))
        self.library.course(tables)
        self.current = self._pending = tables
        self.restored = None
        self._journal.note({"file": self._disk.sha256, "plan": tables})

    def save(self) -> bool:
        """Writes what is pending into the file.

        Returns:
            Whether the file is up to date now; not so where somebody else changed it, which sets `conflict`.

        Raises:
            CoursecheckError: it cannot be written.
        """
        if self._pending is None:
            return not self.conflict
        if self.conflict:
            return False
        course, _ = self.library.course(self._pending)
        text = render_course(course, KINDS, self._base.text)
        if self.changed_outside():  # looked at last: what is written meanwhile would be lost
            return False
        write_atomic(self.file, text.encode())
        self._disk = _OnDisk(text, _sha256(text.encode()))
        self._pending = None
        self._journal.clear()
        return True

    def changed_outside(self) -> bool:
        """Looks whether the file is still as this board left it; sets `conflict` where it is not."""
        disk = self._read()
        self.conflict = disk.sha256 != self._disk.sha256
        self.gone = self.conflict and disk.text is None
        return self.conflict

    def take_theirs(self) -> dict[str, Any]:
        """Goes on from the file as somebody else left it; its tables.

        Raises:
            CourseError: it cannot be taken; everything stays as it is.
        """
        disk = self._read()
        self.current = page_tables(self._course_in(disk))
        self._disk = self._base = disk
        self.conflict, self._pending = False, None
        self._journal.clear()
        return self.current

    def keep_ours(self, tables: dict[str, Any]) -> None:
        """Puts our plan into the file as somebody else left it, whose comments stay.

        Raises:
            CoursecheckError: the plan cannot be put in.
        """
        self.library.course(tables)
        disk = self._read()
        if not self._has_course(disk):
            disk = _OnDisk(self._base.text, disk.sha256)  # there is no plan in it that ours could be put into
        self._disk = self._base = disk
        self.current = self._pending = tables
        self.conflict = False
        self.save()

    def discard(self) -> None:
        """Forgets what the journal of a board that broke off held."""
        self.restored = None
        if not self.pending:
            self._journal.clear()

    def close(self) -> None:
        """Saves what is pending and gives the file back; what cannot be saved stays in the journal."""
        try:
            self.save()
        finally:
            self._journal.close(keep=self.pending or self.restored is not None)

    def _read(self) -> _OnDisk:
        try:
            data = self.file.read_bytes()
        except FileNotFoundError:
            return _OnDisk(None, "")
        except OSError as cause:
            wrong = say("{file}: cannot be read: {cause}", file=self.file, cause=cause_words(cause))
            raise WriteError(wrong) from cause
        return _OnDisk(data.decode("utf-8", "surrogateescape"), _sha256(data))

    def _course_in(self, disk: _OnDisk) -> Course:
        from coursecheck.course.reading import parse_course

        if disk.text is None:
            return empty_course(self.library, self.file.name.removesuffix(".toml").removesuffix(".course"))
        data = disk.text.encode("utf-8", "surrogateescape")
        return parse_course(data, str(self.file), KINDS, self.library.words)

    def _has_course(self, disk: _OnDisk) -> bool:
        try:
            self._course_in(disk)
        except CourseError:
            return False
        return disk.text is not None

    def _to_restore(self) -> dict[str, Any] | None:
        """The plan in the journal where it is another one than the file's."""
        state = self._journal.last()
        plan = state.get("plan") if state else None
        if not state or not isinstance(plan, dict) or plan == self.current:
            return None
        try:
            self.library.course(plan)
        except CoursecheckError:
            return None
        return {"plan": plan, "changed": state.get("file") != self._disk.sha256}


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
