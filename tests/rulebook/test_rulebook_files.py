"""What a rulebook file says comes out as it was meant, and every mistake in it is told."""

from __future__ import annotations

import contextlib
import hashlib
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rulebook_texts import HEAD, LIMIT, TIME, Read

from coursecheck.equipment import KINDS
from coursecheck.errors import CoursecheckError, RulebookError, UsageError
from coursecheck.measures import MEASURES
from coursecheck.rulebook.document import rulebook_schema
from coursecheck.rulebook.loading import SETTING_OUT_M, read_rulebook
from coursecheck.rulebook.resolve import resolve
from coursecheck.rulebook.vocabulary import PLACES, SWITCHES, TURNS
from tests.pseudo import readable, speaking_pseudo, words_of_schema

FIRST_LIMIT = HEAD.count("\n") + 1


def limit(**changes: str | None) -> str:
    """The sample limit with keys replaced, added or, by None, left out."""
    lines = dict(line.split(" = ", 1) for line in LIMIT.splitlines()[1:])
    lines |= {key: value for key, value in changes.items() if value is not None}
    kept = {key: value for key, value in lines.items() if changes.get(key, "") is not None}
    return "[[limit]]\n" + "".join(f"{key} = {value}\n" for key, value in kept.items())


def time(**changes: str) -> str:
    lines = dict(line.split(" = ", 1) for line in TIME.splitlines()[1:]) | changes
    return "[[time]]\n" + "".join(f"{key} = {value}\n" for key, value in lines.items())


def size(**changes: str) -> str:
    lines = {"kind": '"jump"', "size": '"bar"', "value": "1.3", "basis": '"practice"', "source": '"none"'} | changes
    return "[[equipment]]\n" + "".join(f"{key} = {value}\n" for key, value in lines.items())


WRONG = {
    "unknown key": (limit(mini="4"), "limit[0].mini", 'write "min"'),
    "unknown measure": (limit(measure='"leg-distanse"'), "limit[0].measure", 'write "leg-distance"'),
    "unknown metric": (limit(metric='"lines"'), "limit[0].metric", 'write "line"'),
    "unknown size": (
        limit(measure='"equipment-size"', metric='"bars"', where='{ kind = "jump" }'),
        "limit[0].metric",
        'write "bar"',
    ),
    "size of another kind": (
        limit(measure='"equipment-size"', metric='"poles"', where='{ kind = ["weaves", "jump"] }'),
        "limit[0].metric",
        "a row for each",
    ),
    "unknown facet": (limit(where='{ heigth = "small" }'), "limit[0].where.heigth", 'write "height"'),
    "unknown kind": (limit(where='{ to = "hurdel" }'), "limit[0].where.to", "kind of obstacle"),
    "other word for a kind": (limit(where='{ to = "hoop" }'), "limit[0].where.to", 'write "tyre"'),
    "unknown height": (limit(where='{ height = "medium" }'), "limit[0].where.height", "small, large"),
    "unknown discipline": (limit(where='{ discipline = "agilty" }'), "limit[0].where.discipline", 'write "agility"'),
    "unknown grade": (limit(where='{ grade = ["1", "3"] }'), "limit[0].where.grade", "1, 2, open"),
    "grade of another discipline": (
        limit(where='{ discipline = "agility", grade = "open" }'),
        "limit[0].where.grade",
        "1, 2",
    ),
    "unknown place": (limit(where='{ pass = "middle" }'), "limit[0].where.pass", "first, last"),
    "unknown switch": (limit(where='{ indoor = "yes" }'), "limit[0].where.indoor", "true, false"),
    "empty selector": (limit(where="{ height = [] }"), "limit[0].where.height", "at least 1"),
    "min above max": (limit(min="5.0", max="4.0"), "limit[0].min", "above max"),
    "no bound": (limit(min=None), "limit[0]", "no bound"),
    "several bounds": (limit(measure='"passes"', metric='"all"', equals="4"), "limit[0].equals", "several sorts"),
    "kinds for a number": (limit(min=None, required='["jump"]'), "limit[0].required", "answers with a number"),
    "number for a kind": (limit(measure='"first-kind"', metric='"pass"'), "limit[0].min", "answers with a kind"),
    "unknown kind required": (
        limit(measure='"first-kind"', metric='"pass"', min=None, required='["jmp"]'),
        "limit[0].required",
        'write "jump"',
    ),
    "exact length": (limit(min=None, equals="5.0"), "limit[0].equals", "only a count"),
    "half a count": (limit(measure='"passes"', metric='"all"', min="1.5"), "limit[0].min", "whole number"),
    "kinds counted in a length": (limit(of='["jump"]'), "limit[0].of", "only a count"),
    "unknown kind counted": (limit(measure='"passes"', metric='"all"', of='["jmp"]'), "limit[0].of", 'write "jump"'),
    "must from memory": (limit(basis='"memory"'), "limit[0].severity", "cannot be"),
    "no basis": (limit(basis=None), "limit[0].basis", "missing"),
    "no source": (limit(source=None), "limit[0].source", "missing"),
    "empty source": (limit(source='""'), "limit[0].source", 'found ""'),
    "nothing that it is for": (limit(about=None), "limit[0].about", "missing"),
    "unknown severity": (limit(severity='"shall"'), "limit[0].severity", "must"),
    "not a number": (limit(min="nan"), "limit[0].min", "number"),
    "infinite": (limit(min="inf"), "limit[0].min", "number"),
    "rows that are no tables": ("limit = 5\n", "limit", "list"),
    "unknown reckoning": (time(sct='{ how = "sped" }'), "time[0].sct.how", 'write "speed"'),
    "SCT of itself": (time(sct='{ how = "factor-of-sct", factor = 2 }'), "time[0].sct.how", "unknown"),
    "SCT entered with a factor": (time(sct='{ how = "entered", factor = 2 }'), "time[0].sct", "multiple of itself"),
    "key of another reckoning": (time(sct='{ how = "speed", factor = 2 }'), "time[0].sct.factor", "unknown key"),
    "no factor": (time(mct='{ how = "factor-of-sct" }'), "time[0].mct.factor", "missing"),
    "speed range upside down": (
        time(sct='{ how = "speed", min_speed = 4, max_speed = 3 }'),
        "time[0].sct.min_speed",
        "above",
    ),
    "speed and a range": (time(sct='{ how = "speed", speed = 4, max_speed = 3 }'), "time[0].sct.speed", "at once"),
    "factors upside down": (
        time(mct='{ how = "entered", min_factor = 2, max_factor = 1.5 }'),
        "time[0].mct.min_factor",
        "above",
    ),
    "no rate": (time(sct='{ how = "rate" }'), "time[0].sct", "rate or rates"),
    "rate of an unknown grade": (
        time(sct='{ how = "rate", rates = { "9" = { small = 3 } } }'),
        "time[0].sct.rates",
        "unknown grade",
    ),
    "rate of an unknown height": (
        time(sct='{ how = "rate", rates = { "1" = { tiny = 3 } } }'),
        "time[0].sct.rates.1",
        "unknown height",
    ),
    "rates and grade": (
        time(sct='{ how = "rate", rates = { "1" = { small = 3 } } }', where='{ grade = "1" }'),
        "time[0].where",
        "table of rates",
    ),
    "floor above cap": (time(sct='{ how = "speed", cap = 40, floor = 50 }'), "time[0].sct.floor", "above cap"),
    "negative speed": (time(sct='{ how = "speed", speed = -1 }'), "time[0].sct.speed", "above 0"),
    "size of an unknown kind": (size(kind='"jmp"'), "equipment[0].kind", 'write "jump"'),
    "unknown equipment size": (size(size='"barr"'), "equipment[0].size", 'write "bar"'),
    "size of nothing": (size(value="0"), "equipment[0].value", "above 0"),
    "half a pole": (size(kind='"weaves"', size='"poles"', value="6.5"), "equipment[0].value", "whole number"),
}


@pytest.mark.parametrize(("rows", "path", "words"), WRONG.values(), ids=WRONG.keys())
def test_each_mistake_is_told_with_its_key_and_what_would_be_right(
    read: Read, rows: str, path: str, words: str
) -> None:
    text = f"{rows}{HEAD}" if rows.startswith("limit =") else f"{HEAD}{rows}"
    with pytest.raises(RulebookError) as told:
        read(text)
    assert [problem.path for problem in told.value.problems] == [path]
    problem = told.value.problems[0]
    assert words in f"{problem.wrong}; {problem.right}"
    assert problem.file.endswith("club.toml")
    assert problem.line > 0


HEAD_MISTAKES = {
    "rate unit": ('edition = "1"', 'edition = "1"\nrate_unit = "km/h"', "rulebook.rate_unit"),
    "unit": ('edition = "1"', 'edition = "1"\nunits = "yd"', "rulebook.units"),
    "validity": (
        'edition = "1"',
        'edition = "1"\nvalid_from = 2026-02-01\nvalid_to = 2026-01-31',
        "rulebook.valid_to",
    ),
    "no edition": ('edition = "1"\n', "", "rulebook.edition"),
    "no source": ('source = "common practice, no source"\n[d', "[d", "rulebook.source"),
    "format": ("format = 1", "format = 2", "format"),
    "no grades": ('agility = ["1", "2"]', "agility = []", "disciplines.agility"),
    "height twice": ('id = "large"', 'id = "small"', "height[1].id"),
    "withers": ('withers_cm = "<35"', 'withers_cm = "small dogs"', "height[0].withers_cm"),
    "withers upside down": ('withers_cm = "<35"', 'withers_cm = "43-<35"', "height[0].withers_cm"),
    "no turn radius": ("runner = { turn_radius_m = 1.5, ", "runner = { ", "height[1].runner.turn_radius_m"),
    "turn radius of nothing": ("turn_radius_m = 1.5", "turn_radius_m = 0", "height[1].runner.turn_radius_m"),
    "band inside out": (
        "landing_m = 1.1 }",
        "landing_m = 1.1, crossing = [0.6, 0.2] }",
        "height[1].runner.crossing",
    ),
    "beyond the bar": (
        "landing_m = 1.1 }",
        "landing_m = 1.1, crossing = [0.0, 1.2] }",
        "height[1].runner.crossing[1]",
    ),
    "no runner": (
        "\nrunner = { turn_radius_m = 1.5, takeoff_m = 1.3, landing_m = 1.1 }",
        "",
        "height[1].runner",
    ),
    "no length rule": ("[disciplines]", '[length]\nhow = "wheel"\n[disciplines]', "length.how"),
}


@pytest.mark.parametrize(("old", "new", "path"), HEAD_MISTAKES.values(), ids=HEAD_MISTAKES.keys())
def test_mistakes_outside_the_rows_are_told_too(read: Read, old: str, new: str, path: str) -> None:
    assert HEAD.count(old) == 1
    with pytest.raises(RulebookError) as told:
        read(HEAD.replace(old, new))
    assert [problem.path for problem in told.value.problems] == [path]


SAID = {*words_of_schema(rulebook_schema()), *MEASURES, *KINDS, *PLACES, *SWITCHES, *TURNS}
SAID |= {word for measure in MEASURES.values() for word in measure.metrics}
SAID |= {size for kind in KINDS.values() for size in kind.sizes}
SPOILT = [f"{rows}{HEAD}" if rows.startswith("limit =") else f"{HEAD}{rows}" for rows, _, _ in WRONG.values()]
SPOILT += [HEAD.replace(old, new) for old, new, _ in HEAD_MISTAKES.values()]


@pytest.mark.parametrize("text", SPOILT, ids=[*WRONG, *HEAD_MISTAKES])
def test_a_mistake_is_told_in_the_language_of_the_reader(
    read: Read, text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with speaking_pseudo(monkeypatch), pytest.raises(RulebookError) as told:
        read(text)
    assert readable(str(told.value), {*SAID, text, *(problem.file for problem in told.value.problems)}) == set()


def test_all_mistakes_are_told_in_one_go_in_the_order_of_the_file(read: Read) -> None:
    rows = limit(measure='"leg"') + limit(id='"two"', min=None, basis='"memory"', where='{ to = "pole" }')
    text = HEAD.replace("turn_radius_m = 1.0", "turn_radius_m = -1") + rows
    with pytest.raises(RulebookError) as told:
        read(text + time(sct='{ how = "speed", speeds = 3 }', where='{ height = "huge" }'))
    assert [problem.path for problem in told.value.problems] == [
        "height[0].runner.turn_radius_m",
        "limit[0].measure",
        "limit[1]",
        "limit[1].severity",
        "limit[1].where.to",
        "time[0].sct.speeds",
        "time[0].where.height",
    ]


def test_a_row_with_an_unknown_key_is_still_held_against_the_measures(read: Read) -> None:
    with pytest.raises(RulebookError) as told:
        read(HEAD + limit(measure='"leg"', colour='"red"', where='{ hight = "small", to = "pole" }'))
    paths = {problem.path for problem in told.value.problems}
    assert paths == {"limit[0].measure", "limit[0].colour", "limit[0].where.hight", "limit[0].where.to"}


def test_a_good_file_says_what_it_says(read: Read) -> None:
    book = read(HEAD.replace("[disciplines]", '[length]\nhow = "centres"\nto = "finish-line"\n[disciplines]') + LIMIT)
    assert (book.id, book.edition, book.coverage, book.setting_out_m) == ("club", "1", "partial", SETTING_OUT_M)
    assert book.disciplines == {"agility": ("1", "2"), "jumping": ("1", "open")}
    assert list(book.heights) == ["small", "large"]
    assert book.heights["small"].title == "Small"
    assert book.heights["small"].jump_cm == (25.0, 30.0)
    assert book.heights["large"].runner.turn_radius_m == 1.5
    assert (book.length.how, book.length.start, book.length.end) == ("centres", "first-obstacle", "finish-line")
    row = book.limits[0]
    assert (row.id, row.measure, row.metric, row.min, row.max, row.severity) == (
        "spacing",
        "leg-distance",
        "line",
        5.0,
        None,
        "must",
    )
    assert (row.place.rulebook, row.place.line) == ("club", FIRST_LIMIT + 3)


@pytest.mark.parametrize(
    ("where", "selectors"),
    [
        ('{ height = "small" }', {"height": ("small",)}),
        ('{ from = ["jump", "tyre"], to = "tunnel" }', {"from": ("jump", "tyre"), "to": ("tunnel",)}),
        ("{ turn = 'back', indoor = false }", {"turn": ("back",), "indoor": ("false",)}),
        ('{ pass = "last", indoor = ["true", "false"] }', {"pass": ("last",), "indoor": ("true", "false")}),
        ("{}", {}),
    ],
)
def test_one_word_is_a_list_of_one_and_a_switch_is_a_word(
    read: Read, where: str, selectors: dict[str, object]
) -> None:
    assert read(HEAD + limit(where=where)).limits[0].where == selectors


@pytest.mark.parametrize(
    ("row", "path"),
    [
        (limit(where="{ kind = 'spread' }"), "limit[0].where.kind"),
        (limit(where="{ reverse = true }"), "limit[0].where.reverse"),
        (limit() + time(where="{ kind = 'jump' }"), "time[0].where.kind"),
        (limit() + size(where="{ pass = 'first' }"), "equipment[0].where.pass"),
    ],
)
def test_a_row_cannot_choose_by_what_its_subjects_never_have(read: Read, row: str, path: str) -> None:
    with pytest.raises(RulebookError) as caught:
        read(HEAD + row)
    (problem,) = caught.value.problems
    assert problem.path == path
    assert "would never apply" in problem.wrong


def test_a_later_row_of_the_same_limit_repeats_all_but_selectors_and_bound(read: Read) -> None:
    clause = limit(clause='"A.1"', max="9.0", where='{ grade = "1" }')
    first, second = read(HEAD + clause + '[[limit]]\nid = "spacing"\nmin = 4.0\n').limits
    assert (second.min, second.max, second.where, second.reason) == (4.0, None, {}, "")
    for name in ("about", "measure", "metric", "severity", "clause", "basis", "source", "of"):
        assert getattr(second, name) == getattr(first, name), name


@pytest.mark.parametrize(
    ("bound_ft", "bound_m"), [("15", "4.572"), ("16.4", "4.99872"), ("0.1", "0.03048"), ("23", "7.0104")]
)
def test_feet_become_metres_exactly(read: Read, bound_ft: str, bound_m: str) -> None:
    feet = HEAD.replace('edition = "1"', 'edition = "1"\nunits = "ft"')
    book = read(feet + limit(min=bound_ft) + size(value=bound_ft))
    assert (book.limits[0].min, book.sizes[0].value) == (float(bound_m), float(bound_m))
    (line,) = resolve(book.limits, [{}], explain=True).trace
    assert line.endswith(f" (must, min {bound_ft} ft) applies, for all")


def test_only_lengths_and_areas_are_in_feet(read: Read) -> None:
    feet = HEAD.replace('edition = "1"', 'edition = "1"\nunits = "ft"')
    rows = (
        limit(id='"turn"', measure='"leg-turn"')
        + limit(id='"count"', measure='"passes"', metric='"all"')
        + limit(id='"area"', measure='"ring-size"', metric='"area"', min="10")
        + limit(id='"poles"', measure='"equipment-size"', metric='"poles"', where='{ kind = "weaves" }')
        + size(kind='"tunnel"', size='"bend"', value="-90")
    )
    book = read(feet + rows)
    assert [row.min for row in book.limits] == [5.0, 5.0, 0.9290304, 5.0]
    assert [row.written for row in book.limits] == ["min 5", "min 5", "min 10 ft²", "min 5"]
    assert book.sizes[0].value == -90.0


def test_yards_per_second_become_metres_per_second_exactly(read: Read) -> None:
    yards = HEAD.replace('edition = "1"', 'edition = "1"\nrate_unit = "yd/s"')
    rule = read(yards + time(sct='{ how = "rate", rate = 1.85 }', mct='{ how = "rate", rate = 3.00 }')).times[0]
    assert (rule.sct.speed_mps, rule.mct.speed_mps) == (Decimal("1.69164"), Decimal("2.7432"))


def test_a_table_of_rates_gives_one_rule_for_each_grade_and_height(read: Read) -> None:
    rates = '{ how = "rate", rates = { "1" = { small = 2.5, large = 3.0 }, "2" = { large = 3.5 } } }'
    rules = read(HEAD + time(sct=rates)).times
    assert {(rule.where["grade"][0], rule.where["height"][0]): rule.sct.speed_mps for rule in rules} == {
        ("1", "small"): Decimal("2.5"),
        ("1", "large"): Decimal("3.0"),
        ("2", "large"): Decimal("3.5"),
    }


OVERLAY = """\
format = 1
[rulebook]
id = "overlay"
title = "On top"
edition = "1"
source = "common practice, no source"
extends = "base"
"""


def test_the_rows_of_the_base_come_first_and_all_else_is_taken_from_it(read: Read) -> None:
    base = HEAD.replace('edition = "1"', 'edition = "1"\nmissing = ["angles"]\nsetting_out_m = 0.1') + LIMIT + TIME
    own = '[[limit]]\nid = "spacing"\nmin = 6.0\nbasis = "practice"\nsource = "the club"\nreason = "fast dogs"\n'
    book = read(OVERLAY + own, base=base)
    assert (book.id, book.missing, book.setting_out_m) == ("overlay", ("angles",), 0.1)
    assert [(row.place.rulebook, row.min, row.source) for row in book.limits] == [
        ("club", 5.0, "common practice, no source"),
        ("overlay", 6.0, "the club"),
    ]
    assert book.limits[1].measure == "leg-distance"
    assert list(book.heights) == ["small", "large"]
    assert len(book.times) == 1
    assert book.sha256 == hashlib.sha256((base + OVERLAY + own).encode()).hexdigest()
    assert [Path(name).name for name in book.files] == ["base.toml", "club.toml"]


def test_a_height_class_takes_from_the_base_what_it_leaves_out(read: Read) -> None:
    book = read(OVERLAY + '[[height]]\nid = "small"\nwithers_cm = "<38"\n', base=HEAD)
    assert list(book.heights) == ["small"]
    small = book.heights["small"]
    assert (small.withers_cm, small.jump_cm, small.runner.turn_radius_m) == ("<38", (25.0, 30.0), 1.0)


def test_going_before_a_row_of_the_base_takes_a_reason(read: Read) -> None:
    with pytest.raises(RulebookError) as told:
        read(OVERLAY + LIMIT, base=HEAD + LIMIT)
    assert [problem.path for problem in told.value.problems] == ["limit[0].reason"]
    assert "club" in told.value.problems[0].wrong


def test_the_basis_of_the_base_is_not_the_basis_of_another_figure(read: Read) -> None:
    with pytest.raises(RulebookError) as told:
        read(OVERLAY + '[[limit]]\nid = "spacing"\nmin = 6.0\nreason = "fast dogs"\n', base=HEAD + LIMIT)
    assert {problem.path for problem in told.value.problems} == {"limit[0].basis", "limit[0].source"}


def test_the_mistakes_of_base_and_overlay_are_told_together(read: Read) -> None:
    with pytest.raises(RulebookError) as told:
        read(OVERLAY + limit(id='"own"', min=None), base=HEAD + limit(measure='"leg"'))
    assert {(Path(p.file).name, p.path) for p in told.value.problems} == {
        ("base.toml", "limit[0].measure"),
        ("club.toml", "limit[0]"),
    }


def test_a_rulebook_that_extends_itself_is_refused(read: Read) -> None:
    with pytest.raises(RulebookError, match="a > b > a"):
        read(
            OVERLAY.replace('"base"', '"a"'),
            a=OVERLAY.replace('"base"', '"b"'),
            b=OVERLAY.replace('"base"', '"a"'),
        )


def test_an_unknown_base_is_told_at_its_key(read: Read) -> None:
    with pytest.raises(RulebookError) as told:
        read(OVERLAY.replace('"base"', '"bsae"'), base=HEAD)
    assert told.value.problems[0].path == "rulebook.extends"
    assert 'write "base"' in told.value.problems[0].wrong


def test_a_rulebook_needs_disciplines_and_height_classes(read: Read) -> None:
    with pytest.raises(RulebookError) as told:
        read(OVERLAY.replace('extends = "base"\n', ""))
    assert [problem.path for problem in told.value.problems] == ["disciplines", "height"]


def test_a_name_is_a_shipped_rulebook_and_a_path_is_beside_the_course_file(tmp_path: Path) -> None:
    shipped, beside = tmp_path / "rules", tmp_path / "plans"
    for folder, title in ((shipped, "shipped"), (beside, "beside")):
        folder.mkdir()
        (folder / "club.toml").write_text(HEAD.replace("A club", title))
    for name, title in (("club", "shipped"), ("club.toml", "beside"), (str(shipped / "club.toml"), "shipped")):
        book = read_rulebook(name, folder=shipped, beside=beside, measures=MEASURES, kinds=KINDS)
        assert book.title == title


def test_a_name_that_does_not_ship_is_a_usage_error_with_the_nearest_one(tmp_path: Path) -> None:
    (tmp_path / "club-show.toml").write_text(HEAD)
    with pytest.raises(UsageError, match='write "club-show"'):
        read_rulebook("clubshow", folder=tmp_path, beside=None, measures=MEASURES, kinds=KINDS)


def test_a_path_to_nothing_is_a_rulebook_error(tmp_path: Path) -> None:
    with pytest.raises(RulebookError, match="no such file"):
        read_rulebook("none.toml", folder=tmp_path, beside=tmp_path, measures=MEASURES, kinds=KINDS)


JUNK = st.sampled_from(
    [
        "[[limit]]",
        "[limit]",
        "[[height]]",
        "[[time]]",
        "[length]",
        "min = [1]",
        "sct = 5",
        "where = 3",
        'id = "x"',
        "= ",
    ]
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(lines=st.lists(st.tuples(st.integers(0, 60), JUNK), min_size=1, max_size=4), cut=st.integers(0, 60))
def test_no_file_whatever_raises_anything_but_our_own_errors(
    read: Read, lines: list[tuple[int, str]], cut: int
) -> None:
    text = (HEAD + LIMIT + TIME + size()).splitlines()
    del text[cut : cut + 1]
    for place, junk in lines:
        text.insert(place, junk)
    with contextlib.suppress(CoursecheckError):
        read("\n".join(text))
