"""A file is read whole or refused with its mistake's place; it is written whole or not at all."""

from __future__ import annotations

import datetime
import os
import stat
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import UNSET, Meta, Struct, UnsetType

from coursecheck.documents import Problems, convert, parse_toml, read_toml, write_atomic
from coursecheck.documents.lines import KeyLines, nearest_line
from coursecheck.errors import CoursecheckError, CourseError, RulebookError, WriteError
from tests.pseudo import readable, speaking_pseudo


def refusal(data: bytes | str) -> str:
    with pytest.raises(CourseError) as caught:
        parse_toml(data, "x.toml", CourseError)
    assert len(caught.value.problems) == 1
    return str(caught.value)


NO_TOML = [
    (b"", "x.toml: the file is empty"),
    (b"\n# only a remark\n", "x.toml: the file is empty"),
    (b"a = 1\nb = \xff\n", "x.toml:2: byte 10 is not UTF-8"),
    ("a = '\ud800'", "x.toml:1: byte 5 is not UTF-8"),
    (b"a = 1\nb =\n", "x.toml:2: not TOML in column 4: invalid value"),
    (b"a = 1\na = 2\n", "x.toml:2: not TOML in column 6: cannot overwrite a value"),
    (b"a = [1,\n2", "x.toml:2: not TOML: unclosed array"),
    (b"a = " + b"[" * 5000 + b"]" * 5000, "x.toml: lists or tables lie too deep inside each other"),
    (b"a = " + b"7" * 5000, "x.toml: a whole number has more digits than can be read"),
    (b"# " + b"x" * (1 << 20), "x.toml: is larger than 1048576 bytes"),
]


@pytest.mark.parametrize(("data", "message"), NO_TOML)
def test_what_is_no_toml_is_refused_with_its_place(data, message):
    assert refusal(data).startswith(message)


@pytest.mark.parametrize(
    ("data", "right"),
    [
        (b"a = 1\na = 2\n", "cannot overwrite a value; a key or table may stand only once; keep one of the two"),
        (b"[b]\n[b.c]\n[b.c]\n", "cannot declare b.c twice; a key or table may stand only once; keep one of the two"),
        (b"a = 3,8\n", "write each key on a line of its own, and numbers with a point"),
        (b"a = Hello\n", 'write text in "double quotes", numbers with a point, lists like [1.5, 2.0]'),
        (b"a = [1.0 2.0]\n", "write a list like [1.5, 2.0], with commas between"),
        (b'a = "x\n', "close the text with a quotation mark"),
    ],
)
def test_common_slips_are_told_with_what_would_be_right(data, right):
    assert refusal(data).endswith(right)


FAULTS = [
    "= 1",
    "a",
    "a = 1 b = 2",
    "a = 2026-13-01",
    "a = 25:00:00",
    "a = ?",
    'a = "x',
    'a = """x',
    'a = "\\q"',
    'a = "\\uQQQQ"',
    'a = "\\uD800"',
    "a = [1",
    "a = { b = 1",
    "a = { b = 1, b = 2 }",
    "a = 'x\x01'",
    "# \x01",
    "[a",
    "[[a]",
    "[a]\n[a]",
    "[[a]]\n[a]",
    "a = 1\n[a]",
    "a = { }\n[a.b]",
    "a = []\n[[a]]",
    "a.b = 1\n[a]",
    "a = { b = { } }\na.b.c = 1",
    "a = 1\na.b = 1",
    "a = 1\na = 2",
]


@pytest.mark.parametrize("text", [*(data for data, _ in NO_TOML), *FAULTS], ids=lambda text: ascii(text)[:30])
def test_what_is_no_toml_is_refused_in_the_language_of_the_reader(text, monkeypatch):
    with speaking_pseudo(monkeypatch):
        told = refusal(text)
    assert "ж" in told
    assert readable(told, ["x.toml TOML UTF-8"]) == set()


def test_a_file_of_exactly_the_limit_is_read(tmp_path):
    path = tmp_path / "x.toml"
    path.write_bytes(b"a = 1\n#" + b"x" * ((1 << 20) - 7))
    assert read_toml(path, CourseError).raw == {"a": 1}


@pytest.mark.parametrize(
    ("name", "message"), [("none.toml", "no such file"), (".", "is a folder"), ("\0", "be read")]
)
def test_what_cannot_be_read_is_refused_by_its_name(tmp_path, name, message):
    path = f"{tmp_path}/{name}"
    with pytest.raises(RulebookError) as caught:
        read_toml(path, RulebookError)
    assert str(caught.value).startswith(f"{path}:" if name != "." else str(tmp_path))
    assert message in str(caught.value)


def test_a_byte_order_mark_is_no_mistake_and_stays_in_the_text():
    document = parse_toml(b"\xef\xbb\xbfa = 1\r\n", "x", CourseError)
    assert document.raw == {"a": 1}
    assert document.text == "\ufeffa = 1\r\n"
    assert document.lines == {"a": 1}


LINES = r'''# remark
format = 1
"a b".c = 'x\y'   # = [not] a key
'q\t' = """
[[not.a.table]]
key = 1
""" # end
long = [ # first
  1,
  [2,
   3], { k = "}", l.m = [4,
   5] },
]
[[row]]
day = 1979-05-27 07:32:00
[row.inner]
z = QQQ
[not]QQQ
[[row.deep]]
x = 1
[[row.deep]]
x = 2
[[row]]
[ spaced . "and.quoted" ]
w = "\"#]"
'''.replace("QQQ", 3 * "'")


def test_every_key_is_found_on_its_line():
    text = LINES.split("\n")
    lines = KeyLines(LINES)
    assert {
        path: text[line - 1].strip() for path, line in lines.items() if path.endswith((".x", ".z", ".w", ".day"))
    } == {
        "row[0].day": "day = 1979-05-27 07:32:00",
        "row[0].inner.z": "z = '''",
        "row[0].deep[0].x": "x = 1",
        "row[0].deep[1].x": "x = 2",
        'spaced."and.quoted".w': r'w = "\"#]"',
    }
    assert [lines[path] for path in ("format", '"a b".c', r'"q\\t"', "long", "long[0]", "long[1]")] == [
        2,
        3,
        4,
        8,
        9,
        10,
    ]
    assert [lines[path] for path in ("long[1][1]", "long[2]", "long[2].l.m", "long[2].l.m[1]")] == [11, 11, 11, 12]
    assert lines["row[1]"] == 23
    assert not any("not" in path for path in lines)


def test_a_path_without_a_line_stands_on_the_line_of_what_is_around_it():
    lines = {"row": 3, "row[1]": 7, "row[1].at": 9}
    paths = ["row[1].at[0]", "row[1].missing", "row[5].at", "other", ""]
    assert [nearest_line(lines, path) for path in paths] == [9, 7, 3, 0, 0]


PLAIN = st.recursive(
    st.integers(-9, 9) | st.booleans() | st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("ab-_. \"'é", max_size=4), inner, max_size=3),
    max_leaves=10,
)


def paths_of(raw: object, path: str = "") -> set[str]:
    from coursecheck.documents.lines import join_path

    found = {path} - {""}
    if isinstance(raw, dict):
        return found.union(*(paths_of(value, join_path(path, key)) for key, value in raw.items()))
    if isinstance(raw, list):
        return found.union(*(paths_of(value, join_path(path, i)) for i, value in enumerate(raw)))
    return found


@given(st.dictionaries(st.text("abc .\"'é", min_size=1, max_size=4), PLAIN, min_size=1, max_size=4))
def test_every_path_of_any_file_has_a_line(raw):
    import tomlkit

    text = tomlkit.dumps(raw)
    document = parse_toml(text, "x", CourseError)
    assert document.raw == raw
    assert paths_of(raw) <= set(document.lines)


class Row(Struct, forbid_unknown_fields=True, kw_only=True):
    id: Annotated[str, Meta(description="a name")]
    value: Decimal
    share: Annotated[float, Meta(ge=0, le=1)] | UnsetType = UNSET
    count: Annotated[int, Meta(gt=0)] | UnsetType = UNSET
    day: datetime.date | UnsetType = UNSET
    of: str | list[str] | UnsetType = UNSET
    on: bool = False


class Big(Struct, tag="big", forbid_unknown_fields=True):
    size: int


class Small(Struct, tag="small", forbid_unknown_fields=True):
    size: int
    note: str = ""


class Sheet(Struct, forbid_unknown_fields=True, kw_only=True):
    format: Literal[1, 2] = 1
    row: list[Row] = []
    pair: tuple[float, float] | UnsetType = UNSET
    grades: dict[str, list[str]] = {}
    thing: Big | Small | UnsetType = UNSET


def converted(text: str):
    document = parse_toml(text, "x", CourseError)
    problems = Problems(document)
    return convert(document.raw, Sheet, problems, {"tiny": "small"}), problems


def test_a_right_file_becomes_its_struct():
    taken, problems = converted(
        'pair = [1, 2.5]\n[[row]]\nid = "a"\nvalue = 1.15\nday = 2026-01-31\nof = ["b"]\non = true\n'
        '[grades]\nagility = ["1"]\n[thing]\ntype = "small"\nsize = 3\n'
    )
    assert not problems
    assert taken.value == Sheet(
        row=[Row(id="a", value=Decimal("1.15"), day=datetime.date(2026, 1, 31), of=["b"], on=True)],
        pair=(1.0, 2.5),
        grades={"agility": ["1"]},
        thing=Small(3),
    )


MISTAKES = [
    ("format = 3", "x:1: format: found 3; write one of 1, 2"),
    ("format = 1.0", "x:1: format: found 1; write one of 1, 2"),
    ("row = 1", "x:1: row: found 1; write a list [...] of a table"),
    ("[[row]]\nvalue = 1", 'x:1: row[0].id: missing; add id: "text" (a name)'),
    ("[[row]]\nid = 1\nvalue = 1", 'x:2: row[0].id: found 1; write "text" (a name)'),
    ('[[row]]\nid = "a"\nvalue = nan', "x:3: row[0].value: found nan; write a number"),
    ('[[row]]\nid = "a"\nvalue = true', "x:3: row[0].value: found true; write a number"),
    ('[[row]]\nid = "a"\nvalue = 1\nshare = 2', "x:4: row[0].share: found 2; write a number from 0 to 1"),
    ('[[row]]\nid = "a"\nvalue = 1\ncount = 0', "x:4: row[0].count: found 0; write a whole number above 0"),
    ('[[row]]\nid = "a"\nvalue = 1\ncount = 1.0', "x:4: row[0].count: found 1; write a whole number above 0"),
    ('[[row]]\nid = "a"\nvalue = 1\nday = 2026-01-31T10:00:00', "such as 2026-01-31"),
    ('[[row]]\nid = "a"\nvalue = 1\nof = 3', 'row[0].of: found 3; write "text" or a list [...] of "text"'),
    ('[[row]]\nid = "a"\nvalue = 1\nof = ["b", 3]', 'row[0].of[1]: found 3; write "text"'),
    ('[[row]]\nid = "a"\nvalue = 1\non = 1', "row[0].on: found 1; write true or false"),
    ("pair = [1]", "x:1: pair: found a list of 1; write [a number, a number]"),
    ('grades = { a = ["1", 2] }', 'x:1: grades.a[1]: found 2; write "text"'),
    ("grades = 3", "x:1: grades: found 3; write a table"),
    ('thing = { type = "tiny", size = 1 }', 'x:1: thing.type: unknown type "tiny"; write "small"'),
    ("thing = { size = 1 }", "x:1: thing.type: missing; add type: one of big, small"),
    ('thing = { type = "big", size = 1, note = "" }', "x:1: thing.note: unknown key; known here: size, type"),
    ("gardes = {}\n", 'x:1: gardes: unknown key; write "grades"'),
]


@pytest.mark.parametrize(("text", "message"), MISTAKES)
def test_a_mistake_is_told_in_words_of_the_file(text, message):
    taken, problems = converted(text)
    assert taken.value is None
    assert len(problems.found) == 1
    assert message in str(problems.found[0])


@pytest.mark.parametrize(("text", "message"), MISTAKES)
def test_a_mistake_is_told_in_the_language_of_the_reader(text, message, monkeypatch):
    with speaking_pseudo(monkeypatch):
        _, problems = converted(text)
        assert readable(str(problems.found[0]), [text, "id type size grades big small"]) == set()


def test_what_is_right_can_be_had_even_where_other_parts_are_wrong():
    taken, problems = converted('pair = [1, 2]\n[[row]]\nid = "a"\nvalue = "x"\n[[row]]\nid = "b"\nvalue = 2\n')
    assert len(problems.found) == 1
    assert taken.value is None
    assert taken.at("pair", tuple) == (1.0, 2.0)
    assert [taken.at(f"row[{i}].id", str) for i in range(3)] == ["a", "b", None]
    assert taken.places("row") == ["row[1]"]


def test_a_thousand_unknown_keys_are_told_quickly_and_all():
    _, problems = converted("".join(f"k{i} = 1\n" for i in range(1000)))
    assert len(problems.found) == 1000


def test_a_new_file_gets_the_usual_permissions(tmp_path):
    path = tmp_path / "new.toml"
    write_atomic(path, b"a = 1\n")
    other = tmp_path / "other"
    other.touch()
    assert path.read_bytes() == b"a = 1\n"
    assert path.stat().st_mode == other.stat().st_mode


def test_a_replaced_file_keeps_its_permissions_and_its_link(tmp_path):
    path, link = tmp_path / "real.toml", tmp_path / "link.toml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    link.symlink_to(path)
    write_atomic(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.parametrize("step", ["fsync", "replace", "open"])
def test_a_failure_on_the_way_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch, step):
    path = tmp_path / "x.toml"
    path.write_bytes(b"old")

    def fail(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os if step == "fsync" else Path, step, fail)
    with pytest.raises(WriteError, match=r"x\.toml: cannot be written: No space left on device"):
        write_atomic(path, b"new")
    monkeypatch.undo()
    assert path.read_bytes() == b"old"
    assert [item.name for item in tmp_path.iterdir()] == ["x.toml"]


def test_an_interrupt_on_the_way_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch):
    path = tmp_path / "x.toml"
    path.write_bytes(b"old")

    def interrupt(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_atomic(path, b"new")
    assert path.read_bytes() == b"old"
    assert [item.name for item in tmp_path.iterdir()] == ["x.toml"]


def test_what_goes_wrong_in_making_the_content_is_not_laid_on_the_file(tmp_path):
    def pieces():
        yield b"new"
        raise ValueError("a mistake of ours")

    path = tmp_path / "x.toml"
    path.write_bytes(b"old")
    with pytest.raises(ValueError, match="a mistake of ours"):
        write_atomic(path, pieces())
    assert path.read_bytes() == b"old"
    assert [item.name for item in tmp_path.iterdir()] == ["x.toml"]


def test_a_link_that_leads_to_itself_is_an_error_of_ours(tmp_path):
    link = tmp_path / "x.toml"
    link.symlink_to(link)
    with pytest.raises(WriteError, match=r"x\.toml: cannot be written"):
        write_atomic(link, b"new")


@pytest.mark.parametrize("name", [".", "none/x.toml", "\0"])
def test_where_nothing_can_be_written_is_an_error_of_ours(tmp_path, name):
    with pytest.raises(CoursecheckError):
        write_atomic(f"{tmp_path}/{name}", b"new")


def test_a_device_is_written_to_and_not_replaced():
    write_atomic("/dev/null", b"new")
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)
