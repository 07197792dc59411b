"""Writing a course file: what changed is put into the text as it stands, everything else stays as it was."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from coursecheck.course.kinds import KindWords
from coursecheck.course.model import Course
from coursecheck.course.plain import course_text, plain_course
from coursecheck.course.reading import parse_course
from coursecheck.documents import parse_toml
from coursecheck.documents.toml import BYTE_ORDER_MARK
from coursecheck.errors import CourseError, WriteError
from coursecheck.language import say

__all__ = ["render_course"]


def render_course(course: Course, kinds: Mapping[str, KindWords], original_text: str | None = None) -> str:
    """The text of a course file.

    Numbers are written in the file's units, as short as they read back to the same value. What would take more than
    six decimals is rounded to the third.

    Args:
        course: the model.
        kinds: the kinds of obstacles by name.
        original_text: the file as it stands. Comments, order, and the spelling of what did not change are kept.
            Without it a new file is written.

    Raises:
        CourseError: the original text is no course, or the model would not make one.
        WriteError: the model cannot be put into the original text without a loss.
    """
    if original_text is None:
        text = course_text(plain_course(course, kinds))
    else:
        before = parse_course(original_text, say("the file as it stands"), kinds)
        if replace(before, origin=None) == replace(course, origin=None):
            return original_text
        text = _merged(course, before, kinds, original_text)
    again = parse_course(text, course.origin.file if course.origin else say("the new file"), kinds)
    if plain_course(again, kinds) != plain_course(course, kinds):
        raise WriteError(say("the plan cannot be put into the file as it stands; save it under a new name"))
    return text


def _merged(course: Course, before: Course, kinds: Mapping[str, KindWords], original_text: str) -> str:
    """The original text with the differences put in; byte order mark and line ends as they were."""
    from coursecheck.course.merging import merge_text

    raw = parse_toml(original_text, say("the file as it stands"), CourseError).raw
    by_outline = "outline" in raw["ring"]
    bare = original_text.removeprefix(BYTE_ORDER_MARK)
    text = merge_text(
        bare.replace("\r\n", "\n"),
        plain_course(before, kinds, by_outline=by_outline),
        plain_course(course, kinds, by_outline=by_outline),
    )
    if "\r\n" in bare:
        text = text.replace("\n", "\r\n")
    return text if bare == original_text else BYTE_ORDER_MARK + text
