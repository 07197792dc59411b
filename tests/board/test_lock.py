"""One board at a time has a file; the lock of Windows is played by one that keeps its rules."""

import os
import sys
import types

import pytest

from coursecheck.board.journal import Journal


def windows(taken):
    """What the module msvcrt does with bytes: who locks one that another handle holds is refused."""

    def locking(number, mode, count):
        assert (mode, count) == (2, 1)
        held = (os.fstat(number).st_ino, os.lseek(number, 0, os.SEEK_CUR))
        assert held[1] > 1 << 20, "the bytes of the journal itself stay readable"
        if taken.get(held, number) != number:
            raise OSError(13, "Permission denied")
        taken[held] = number

    return types.SimpleNamespace(LK_NBLCK=2, locking=locking)


@pytest.fixture(params=["posix", "windows"])
def system(request, monkeypatch):
    if request.param == "windows":
        monkeypatch.setitem(sys.modules, "fcntl", None)
        monkeypatch.setitem(sys.modules, "msvcrt", windows({}))
    return request.param


def test_the_first_one_has_the_journal_and_the_second_one_writes_nothing(system, tmp_path):
    file = tmp_path / "a.course.toml"
    first, second = Journal(file), Journal(file)
    assert (first.ours, second.ours) == (True, False), system
    first.note({"plan": {"n": 1}})
    second.note({"plan": {"n": 2}})
    assert second.last() is None
    assert first.last() == {"plan": {"n": 1}}
    first.note({"plan": {"n": 3}})
    assert first.last() == {"plan": {"n": 3}}
    second.close(keep=False)
    assert first.path.exists()
    first.close(keep=False)
    assert not first.path.exists()


def test_two_files_are_locked_each_by_itself(system, tmp_path):
    journals = [Journal(tmp_path / name) for name in ("a.course.toml", "b.course.toml")]
    assert [journal.ours for journal in journals] == [True, True], system
    for journal in journals:
        journal.close(keep=False)
