"""What the tests of the course file share."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from course_texts import GOOD

from coursecheck.course.model import Course
from coursecheck.course.reading import parse_course
from coursecheck.equipment import KINDS


@pytest.fixture
def good() -> str:
    return GOOD


@pytest.fixture
def read() -> Callable[[str], Course]:
    return lambda text: parse_course(text, "x.course.toml", KINDS)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Every kind of obstacle in the catalogue, for the tests that ask for one."""
    if "kind_name" in metafunc.fixturenames:
        metafunc.parametrize("kind_name", list(KINDS))
