"""Every mistake of a course file is told with its place and with what would be right."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from coursecheck.course.document import course_schema
from coursecheck.course.reading import parse_course
from coursecheck.equipment import KINDS
from coursecheck.errors import CourseError, Problem, RulebookError, UsageError
from tests.pseudo import readable, speaking_pseudo, words_of_schema


@dataclass(frozen=True)
class Words:
    disciplines: dict[str, tuple[str, ...]] = field(
        default_factory=lambda: {"agility": ("1", "2"), "jumping": ("1", "2", "3")}
    )
    heights: tuple[str, ...] = ("small", "medium", "large")


def problems_of(text: str, vocabulary=lambda _: Words()) -> tuple[Problem, ...]:
    with pytest.raises(CourseError) as caught:
        parse_course(text, "x.course.toml", KINDS, vocabulary)
    return caught.value.problems


def spoil(good: str, old: str, new: str) -> str:
    assert good.count(old) >= 1, f"{old!r} is not in the good file"
    return good.replace(old, new, 1)


FEW = """\
format = 1
course = { title = "t", rulebook = "r", discipline = "agility", grade = "1" }
[ring]
size = [10, 10]
"""

# what stands in the good file, what instead, the key path, what stands on the line told, words of the message
MISTAKES = [
    ("format = 1", "format = 2", "format", "format = 2", "this program reads format 1"),
    ("format = 1", 'format = "1"', "format", "format =", "write 1"),
    ("format = 1", "format = true", "format", "format =", "found true"),
    ("format = 1\n", "", "format", None, "missing"),
    ('grade = "2"\n', "", "course.grade", "[course]", "missing"),
    ('title = "Saltmarsh Spring Show, ring 2"', 'title = ""', "course.title", "title", "of at most 200 characters"),
    ('title = "Saltmarsh Spring Show, ring 2"', 'title = "a\\u001bb"', "course.title", "title", "one line"),
    ('grade = "2"', "grade = 2", "course.grade", "grade = 2", 'found 2; write "text"'),
    ('grade = "2"', 'grade = "5"', "course.grade", "grade =", 'no grade "5" in agility'),
    ("discipline =", "disipline =", "course.disipline", "disipline", 'unknown key; write "discipline"'),
    ('"agility"', '"agilty"', "course.discipline", "agilty", 'write "agility"'),
    ('"small", "large"', '"small", "lrage"', "course.heights[1]", "lrage", 'write "large"'),
    ('"small", "large"', '"small", "small"', "course.heights[1]", '"small", "small"', "stands twice"),
    ('"small", "large"', "", "course.heights", "heights", "left out: all of them"),
    ("speed_mps = 3.80", "speed_mps = 0", "course.speed_mps", "speed_mps", "a number from 0.01 to 20"),
    ("speed_mps = 3.80", 'speed_mps = "fast"', "course.speed_mps", "speed_mps", 'found "fast"'),
    ('units = "m"', 'units = "yd"', "course.units", "units", "known here: ft, m"),
    ("size = [30.0, 40]", "size = [30.0, nan]", "ring.size[1]", "size", "found nan"),
    ("size = [30.0, 40]", "size = [30.0, inf]", "ring.size[1]", "size", "found inf"),
    ("size = [30.0, 40]", "size = [30.0, 0]", "ring.size[1]", "size", "a number from 0.001"),
    ("size = [30.0, 40]", "size = [-30.0, 40]", "ring.size[0]", "size", "found -30"),
    ("size = [30.0, 40]", "size = [30.0]", "ring.size", "size", "[x, y]"),
    ("size = [30.0, 40]", "size = 30", "ring.size", "size", "[x, y]"),
    ("size = [30.0, 40]", f"size = [30, 1{'0' * 400}]", "ring.size[1]", "size", "more than 40 digits"),
    ("size = [30.0, 40]   # x, y\n", "", "ring", "[ring]", "neither a size nor an outline"),
    (
        "[[ring.blocked]]",
        "outline = [[0, 0], [9, 0], [9, 9]]\n[[ring.blocked]]",
        "ring.outline",
        "outline",
        "both a size",
    ),
    ('solid = ["top", "left"]', 'solid = ["top", "lft"]', "ring.solid[1]", "solid", 'write "left"'),
    ('solid = ["top", "left"]', "solid = [2]", "ring.solid[0]", "solid", "bottom, right, top, left"),
    ("entrance = [[0.0, 2.0], [0.0, 4.0]]", "entrance = [[0.0, 2.0]]", "ring.entrance", "entrance", "its two ends"),
    ("[0.0, 2.0], [0.0, 4.0]", "[0.0, 2.0], [0.0, 2.0]", "ring.entrance", "entrance", "the same point"),
    ("[0.0, 2.0], [0.0, 4.0]", "[0.0, 2.0], [3.0, 4.0]", "ring.entrance[1]", "entrance", "not on the edge"),
    ("radius = 0.4\n", "", "ring.blocked[0].radius", "[[ring.blocked]]", "missing"),
    ("radius = 0.4\n", "radius = -1\n", "ring.blocked[0].radius", "radius", "found -1"),
    ("radius = 0.4\n", "radius = 1\noutline = [[0,0],[1,0],[1,1]]\n", "ring.blocked[0]", "[[ring.blocked]]", "both"),
    ("[28.0, 38.0]]", "[26.0, 35.0]]", "ring.blocked[1].outline", "outline = [[25.0", "encloses no area"),
    (
        "[28.0, 35.0], [28.0, 38.0]]",
        "[28, 38], [28, 35], [25, 38]]",
        "ring.blocked[1].outline",
        "outline",
        "side 0 meets side 2",
    ),
    (
        "# the first one",
        '[[ring.beside]]\nname = "ring 1"\ngap = -1\n# the first one',
        "ring.beside[0].gap",
        "gap",
        "found -1",
    ),
    ('id = "a"', 'id = "a b"', "obstacle[0].id", 'id = "a b"', "letters, digits, - and _"),
    ('id = "a"', 'id = ""', "obstacle[0].id", 'id = ""', "letters, digits, - and _"),
    (
        'id = "b"',
        'id = "a"',
        "obstacle[1].id",
        'id = "a"\nkind = "jump"\nat = [12',
        "is taken by the obstacle on line 31",
    ),
    ('kind = "tunnel"', 'kind = "tunel"', "obstacle[2].kind", "tunel", 'write "tunnel"'),
    ('kind = "jump"', 'kind = "hoop"', "obstacle[0].kind", "hoop", 'write "tyre"'),
    ('kind = "jump"', "kind = 3", "obstacle[0].kind", "kind = 3", "found 3"),
    ('kind = "jump"\n', "", "obstacle[0].kind", "[[obstacle]]", "missing"),
    ('kind = "jump"', 'knd = "jump"', "obstacle[0].knd", "knd", 'write "kind"'),
    ("bearing = 90", "bearing = nan", "obstacle[0].bearing", "bearing = nan", "found nan"),
    ("bearing = 90", "baering = 90", "obstacle[0].baering", "baering", 'write "bearing"'),
    ("at = [6.0, 8.0]", 'at = [6.0, "8"]', "obstacle[0].at[1]", 'at = [6.0, "8"]', 'found "8"'),
    ("bar = 1.30", "bar = 0", "obstacle[0].bar", "bar = 0", "a number from 0.001"),
    ("bar = 1.30", "bar = -1.3", "obstacle[0].bar", "bar = -1.3", "bar width"),
    ("bar = 1.30", "poles = 12", "obstacle[0].poles", "poles = 12\nwing", "unknown key"),
    ("poles = 12", "poles = 12.5", "obstacle[3].poles", "poles = 12.5", "a whole number"),
    ("poles = 12", "poles = 1000000000", "obstacle[3].poles", "poles = 1000000000", "from 1 to 100"),
    ("bend = 90", "bend = 400", "obstacle[2].bend", "bend = 400", "crosses itself"),
    ("length = 5.0", "length = 0.3", "obstacle[2].bend", "bend = 90", "less than 57 degrees"),
    ("length = 5.0", "length = inf", "obstacle[2].length", "length = inf", "found inf"),
    ('"a", # away', '"c", # away', "sequence.run[0]", '"c", # away', 'no obstacle has the id "c"'),
    ('"b left"', '"w-1_x"', "sequence.run[1]", '"w-1_x"', 'write "W-1_x"'),
    ('"b left"', '"b up"', "sequence.run[1]", '"b up"', 'unknown word "up"'),
    ('"b left"', '"b left right"', "sequence.run[1]", '"b left right"', "both left and right"),
    ('"b left"', '"b left left"', "sequence.run[1]", '"b left left"', "twice"),
    ('"b left"', '" "', "sequence.run[1]", '" "', "empty word"),
    ('"b left"', "3", "sequence.run[1]", "  3,", "found 3"),
    ("start_line = 1.0", "start_line = -1", "sequence.start_line", "start_line", "from 0 to"),
    ("jump = 16", "jump = -1", "store.jump", "jump = -1", "a whole number from 0"),
    ("jump = 16", "hurdle = 16", "store.hurdle", "hurdle = 16", 'write "jump"'),
    ("jump = 16", "jump = { count = 1, lengths = [1] }", "store.jump.lengths", "jump = {", "has no length to choose"),
    ("count = 3", "count = 2", "store.tunnel.lengths", "count = 2", "3 lengths for a count of 2"),
    ("[5.0, 5.0, 4.0] }", "[5.0, 5.0, 0] }", "store.tunnel.lengths[2]", "count = 3", "found 0"),
    ("[store]", "[stroe]", "stroe", "[stroe]", 'write "store"'),
]


@pytest.mark.parametrize(("old", "new", "path", "line", "words"), MISTAKES, ids=lambda value: str(value)[:30])
def test_a_mistake_is_told_with_path_line_and_what_would_be_right(good, old, new, path, line, words):
    text = spoil(good, old, new)
    told = {problem.path: problem for problem in problems_of(text)}
    assert path in told
    assert words in str(told[path])
    assert told[path].line == (0 if line is None else text[: text.index(line)].count("\n") + 1)


@pytest.mark.parametrize(("old", "new", "path", "line", "words"), MISTAKES, ids=lambda value: str(value)[:30])
def test_one_mistake_is_told_once(good, old, new, path, line, words):
    text = spoil(good, old, new)
    if 'id = "' in new:  # the sequence has no part in this mistake
        text = text[: text.index("[sequence]")]
    assert [problem.path for problem in problems_of(text)] == [path]


SAID = {*words_of_schema(course_schema(KINDS)), *Words().disciplines, *Words().heights, "x.course.toml"}


@pytest.mark.parametrize(("old", "new", "path", "line", "words"), MISTAKES, ids=lambda value: str(value)[:30])
def test_a_mistake_is_told_in_the_language_of_the_reader(good, old, new, path, line, words, monkeypatch):
    text = spoil(good, old, new)
    with speaking_pseudo(monkeypatch):
        told = "\n".join(str(problem) for problem in problems_of(text))
    assert readable(told, {*SAID, text}) == set()


def test_the_good_file_is_good(good):
    assert parse_course(good, "x", KINDS, lambda _: Words()).title == "Saltmarsh Spring Show, ring 2"


def test_all_mistakes_are_told_in_one_go_and_in_the_order_of_the_file(good):
    spoilt = [
        ('title = "Saltmarsh Spring Show, ring 2"', "title = 3"),
        ('grade = "2"', 'grade = "9"'),
        ("size = [30.0, 40]", "size = [30.0, -40]"),
        ("radius = 0.4\n", ""),
        ('kind = "jump"', 'kind = "hoop"'),
        ('id = "b"', 'id = "a"'),
        ("bend = 90", "bend = 900"),
        ("poles = 12", "pols = 12"),
        ('"W-1_x",\n]', '"W-1_y",\n]'),
        ("jump = 16", "jump = 1.5"),
    ]
    text = good
    for old, new in spoilt:
        text = spoil(text, old, new)
    problems = problems_of(text)
    assert [problem.path for problem in problems] == [
        "course.title",
        "course.grade",
        "ring.size[1]",
        "ring.blocked[0].radius",
        "obstacle[0].kind",
        "obstacle[1].id",
        "obstacle[2].bend",
        "obstacle[3].pols",
        "sequence.run[1]",
        "sequence.run[3]",
        "store.jump",
    ]
    assert [problem.line for problem in problems] == sorted(problem.line for problem in problems)


OUTLINES = [
    ("[[0, 0], [10, 0]]", "at least 3"),
    ("[[0, 0], [10, 0], [20, 0]]", "encloses no area"),
    ("[[0, 0], [10, 10], [10, 0], [0, 10]]", "side 0 meets side 2"),
    ("[[0, 0], [10, 0], [10, 10], [0, 0]]", "corners 3 and 0 are the same point"),
    ("[[0, 0], [10, 0], [10, 0], [0, 10]]", "corners 1 and 2 are the same point"),
    ("[[0, 0], [10, 0], [5, 0], [5, 10]]", "crosses or touches itself"),
    ("[[0, 0], [10, 0], [nan, 10]]", "found nan"),
]


@pytest.mark.parametrize(("outline", "words"), OUTLINES)
def test_an_outline_must_go_round_an_area_without_crossing_itself(outline, words, monkeypatch):
    text = FEW.replace("size = [10, 10]", f"outline = {outline}")
    (problem,) = problems_of(text)
    assert problem.path.startswith("ring.outline")
    assert words in str(problem)
    with speaking_pseudo(monkeypatch):
        assert readable(str(problems_of(text)[0]), {*SAID, text}) == set()


@pytest.mark.parametrize(
    ("solid", "words"), [("[4]", "no side 4"), ('["top"]', "index of a side"), ("[-1]", "0 or more")]
)
def test_walls_of_an_outline_are_told_by_the_index_of_a_side(solid, words):
    outline = "outline = [[0, 0], [10, 0], [10, 10], [0, 10]]"
    (problem,) = problems_of(FEW.replace("size = [10, 10]", f"{outline}\nsolid = {solid}"))
    assert problem.path == "ring.solid[0]"
    assert words in str(problem)


def test_a_synonym_of_every_kind_is_refused_with_the_right_word(kind_name):
    for synonym in KINDS[kind_name].synonyms:
        obstacle = f'[[obstacle]]\nid = "a"\nkind = "{synonym}"\nat = [1, 1]\nbearing = 0\n'
        (problem,) = problems_of(FEW + obstacle)
        assert problem.right == f'write "{kind_name}"'


def test_the_problems_of_the_rulebook_are_told_with_those_of_the_course(good):
    def broken(name: str) -> Words:
        raise RulebookError([Problem(f"{name}.toml", 7, "limit[0].min", "found nan")])

    told = problems_of(good.replace("radius = 0.4", "radius = 0"), broken)
    assert [problem.path for problem in told] == ["course.rulebook", "ring.blocked[0].radius"]
    assert "club-show.toml:7: limit[0].min: found nan" in told[0].wrong


def test_a_rulebook_that_is_not_there_is_a_mistake_of_the_course(good):
    def missing(name: str) -> Words:
        raise UsageError(f"there is no rulebook {name}")

    (problem,) = problems_of(good, missing)
    assert (problem.path, problem.wrong) == ("course.rulebook", "there is no rulebook club-show")


def test_a_rulebook_is_not_asked_where_its_name_is_missing(good):
    (problem,) = problems_of(good.replace('rulebook = "club-show"', ""), pytest.fail)
    assert problem.path == "course.rulebook"


def test_an_unknown_format_is_told_alone(good):
    (problem,) = problems_of(good.replace("format = 1", "format = 3").replace("bearing", "course"))
    assert problem.path == "format"


@pytest.mark.parametrize(
    "text", ["course = 3", "obstacle = 3", "ring = []", "sequence = 1", "store = 2", "obstacle = [3]"]
)
def test_a_value_where_a_table_belongs_is_told(text):
    key = text.split()[0]
    assert key in {problem.path.split("[")[0] for problem in problems_of(f"format = 1\n{text}\n")}
