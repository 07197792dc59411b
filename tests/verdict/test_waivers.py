"""Accepting findings: what a waiver covers, when it lapses, and how its file is read and written."""

import datetime
import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck.checking import check
from coursecheck.errors import WaiverError
from coursecheck.plans import load_plan
from coursecheck.resources import sample
from coursecheck.verdict.acceptance import Acceptance, accept_baseline, accept_waivers, acceptance_of, broken_now
from coursecheck.verdict.baseline import baseline_text, read_baseline
from coursecheck.verdict.waivers import add_waivers, read_waivers, with_waivers
from tests.pseudo import readable, speaking_pseudo

DAY = datetime.date(2026, 5, 1)


@pytest.fixture(scope="module")
def verdict():
    return check(*load_plan(sample("draft-with-faults")))


@pytest.fixture(scope="module")
def broken(verdict):
    """A breach with a figure, at obstacles."""
    return next(f for f in verdict.findings if f.counts_against and f.obstacles and f.unit == "m" and f.min)


def waiver_of(finding, **changes):
    accepted = acceptance_of(finding, "A. Judge", "the tent moves", None)
    return replace(accepted, place="x.waivers.toml:4", **changes)


def with_finding(verdict, *findings):
    return replace(verdict, findings=findings, left_out=(), notes=())


def test_a_waived_finding_stays_but_no_longer_counts(verdict, broken):
    accepted = accept_waivers(verdict, [waiver_of(broken)], None)
    assert len(accepted.findings) == len(verdict.findings)
    assert accepted.counts() == verdict.counts()
    assert accepted.waived == 1
    waived = next(f for f in accepted.findings if f.waived)
    assert (waived.waived.who, waived.waived.reason) == ("A. Judge", "the tent moves")
    assert waived._replace(waived=None) == broken
    assert accepted.notes == ()


def test_a_plan_is_legal_once_everything_is_accepted(verdict):
    waivers = [waiver_of(f) for f in verdict.findings if f.counts_against]
    assert not verdict.legal
    assert accept_waivers(verdict, waivers, None).legal


@pytest.mark.parametrize(
    ("bounds", "accepted", "measured", "holds"),
    [
        ((5.0, None), 4.62, 4.62, True),
        ((5.0, None), 4.62, 4.62 - 0.9e-6, True),
        ((5.0, None), 4.62, 4.6199, False),
        ((5.0, None), 4.62, 4.9, True),
        ((None, 7.0), 7.3, 7.3, True),
        ((None, 7.0), 7.3, 7.2, True),
        ((None, 7.0), 7.3, 7.3001, False),
        ((5.0, 7.0), 4.5, 7.1, False),  # broken on the other side: another fault
        ((5.0, 7.0), 7.5, 4.9, False),
        ((1.0, 1.0), 0.0, 2.0, False),  # exactly one
        ((1.0, 1.0), 3.0, 2.0, True),
        ((5.0, None), None, 4.9, False),  # accepted when it could not be measured
        ((5.0, None), 4.9, None, False),
        ((5.0, None), None, None, True),
        ((None, None), "spread", "spread", True),
        ((None, None), "spread", "table", False),
    ],
)
def test_a_waiver_holds_while_the_value_is_no_worse(verdict, broken, bounds, accepted, measured, holds):
    outcome = "unmeasurable" if measured is None else "breach"
    finding = broken._replace(min=bounds[0], max=bounds[1], measured=measured, outcome=outcome)
    result = accept_waivers(with_finding(verdict, finding), [waiver_of(broken, measured=accepted)], None)
    assert (result.findings[0].waived is not None) == holds
    assert any("lapsed" in note and "x.waivers.toml:4" in note for note in result.notes) == (not holds)


def test_a_waiver_ends_after_its_day_by_the_date_that_is_given_and_by_no_clock(verdict, broken):
    one, waiver = with_finding(verdict, broken), waiver_of(broken, until=DAY)
    assert accept_waivers(one, [waiver], DAY).findings[0].waived
    late = accept_waivers(one, [waiver], DAY + datetime.timedelta(days=1))
    assert late.findings[0].waived is None
    assert "ended on 2026-05-01" in late.notes[0]
    undated = accept_waivers(one, [waiver], None)
    assert undated.findings[0].waived
    assert "--date" in undated.notes[0]


def test_what_is_met_or_close_is_not_waived_and_the_waiver_is_stale(verdict, broken):
    for outcome in ("met", "close"):
        better = broken._replace(outcome=outcome, measured=5.01, margin=0.01)
        result = accept_waivers(with_finding(verdict, better), [waiver_of(broken)], None)
        assert result.findings == (better,)
        assert "nothing is broken there any more" in result.notes[0]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"limit": "no-such-limit"}, "has no such limit"),
        ({"obstacles": ("nobody",)}, "the plan has no obstacle nobody"),
        ({"height": "giant"}, "has no height class giant"),
    ],
)
def test_a_stale_waiver_says_what_it_misses(verdict, broken, changes, words):
    result = accept_waivers(with_finding(verdict, broken), [waiver_of(broken, **changes)], None)
    assert result.findings == (broken,)
    assert words in result.notes[0]


def test_a_waiver_of_what_was_not_judged_this_time_is_not_called_stale(verdict, broken):
    unasked = replace(with_finding(verdict), left_out=(broken.limit,))
    assert accept_waivers(unasked, [waiver_of(broken)], None).notes == ()
    small = with_finding(replace(verdict, scenes={"small": verdict.scenes["small"]}))
    assert accept_waivers(small, [waiver_of(broken, height="large")], None).notes == ()


def test_the_order_of_obstacles_is_no_part_of_it(verdict, broken):
    turned = broken._replace(obstacles=tuple(reversed(broken.obstacles)))
    assert accept_waivers(with_finding(verdict, turned), [waiver_of(broken)], None).findings[0].waived


def test_a_finding_of_all_classes_is_split_where_one_class_alone_is_waived(verdict, broken):
    everyone = broken._replace(height=None)
    result = accept_waivers(with_finding(verdict, everyone), [waiver_of(everyone, height="small")], None)
    assert [f.height for f in result.findings] == list(verdict.scenes)
    assert [f.waived is not None for f in result.findings] == [h == "small" for h in verdict.scenes]


def test_waivers_of_every_class_together_cover_a_finding_of_all_classes(verdict, broken):
    everyone = broken._replace(height=None)
    waivers = [waiver_of(everyone, height=height) for height in verdict.scenes]
    result = accept_waivers(with_finding(verdict, everyone), waivers, None)
    assert len(result.findings) == 1
    assert result.findings[0].waived
    assert result.notes == ()


FILE = """\
# Agreed with the reviewer.
format = 1

[[waiver]]
limit = "leg-distance-min"   # the one at the tent
obstacles = ["h", "g"]
height = "large"
measured = 4.62
reason = "the tent moves"
who = "A. Judge"
until = 2026-05-01

[[waiver]]
limit = "jumps-min"
measured = 11
reason = "small hall"
who = "A. Judge"
"""


def test_a_file_is_read_with_the_place_of_each_waiver(tmp_path):
    path = tmp_path / "x.waivers.toml"
    path.write_text(FILE)
    first, second = read_waivers(path)
    assert first == Acceptance(
        "leg-distance-min", ("g", "h"), "large", 4.62, "A. Judge", "the tent moves", datetime.date(2026, 5, 1)
    )
    assert first.place.endswith("x.waivers.toml:4")
    assert (second.obstacles, second.height, second.until) == ((), None, None)
    assert read_waivers(tmp_path / "none.waivers.toml") == ()


def test_every_mistake_of_a_file_is_told_in_one_go(tmp_path, monkeypatch):
    path = tmp_path / "x.waivers.toml"
    path.write_text(FILE.replace("reason = ", "raeson = ").replace("format = 1", "format = 2") + "until = 12\n")
    with pytest.raises(WaiverError) as caught:
        read_waivers(path)
    told = str(caught.value)
    assert len(caught.value.problems) == 4
    for words in ("raeson", 'write "reason"', "format", "until", "a date such as"):
        assert words in told
    with speaking_pseudo(monkeypatch), pytest.raises(WaiverError) as caught:
        read_waivers(path)
    assert readable(str(caught.value), [str(path), path.read_text(), "waiver reason"]) == set()


def test_two_waivers_of_one_finding_are_a_mistake(tmp_path):
    path = tmp_path / "x.waivers.toml"
    path.write_text(FILE + FILE.split("\n", 2)[2].replace('["h", "g"]', '["g", "h"]'))
    with pytest.raises(WaiverError, match="the same finding as on line 4"):
        read_waivers(path)


NEW = Acceptance("edge-min", ("b",), None, 0.5, 'A "J"', "why # not", DAY)


def test_adding_keeps_everything_that_is_there():
    text = with_waivers(FILE, [NEW])
    assert text.startswith(FILE)
    assert text.count("[[waiver]]") == 3


def test_adding_for_the_same_finding_replaces_it_and_keeps_the_comments():
    again = Acceptance("leg-distance-min", ("g", "h"), "large", 4.5, "B. Judge", "looked again")
    text = with_waivers(FILE, [again])
    assert text.count("[[waiver]]") == 2
    assert "# the one at the tent" in text
    assert "measured = 4.5\n" in text
    assert "until" not in text


@pytest.mark.parametrize("dress", [lambda t: t.replace("\n", "\r\n"), lambda t: "\ufeff" + t, lambda t: t.rstrip()])
def test_line_ends_and_byte_order_mark_are_kept(dress, tmp_path):
    path = tmp_path / "x.waivers.toml"
    path.write_bytes(dress(FILE).encode())
    add_waivers(path, [NEW, replace(NEW, limit="leg-distance-min", obstacles=("g", "h"), height="large")])
    text = path.read_bytes().decode()
    assert ("\r\n" in text) == ("\r\n" in dress(FILE))
    assert "\n" not in text.replace("\r\n", "") or "\r\n" not in text
    assert text.startswith("\ufeff") == dress(FILE).startswith("\ufeff")
    assert len(read_waivers(path)) == 3
    assert [entry.name for entry in tmp_path.iterdir()] == ["x.waivers.toml"]


def test_a_file_that_is_none_of_waivers_is_left_alone(tmp_path):
    path = tmp_path / "x.waivers.toml"
    path.write_text("format = 1\n[course]\n")
    with pytest.raises(WaiverError):
        add_waivers(path, [NEW])
    assert path.read_text() == "format = 1\n[course]\n"


WORDS = st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1, max_size=30)


@given(
    st.lists(
        st.builds(
            Acceptance,
            st.sampled_from(["leg-distance-min", "jumps-min", "edge-min"]),
            st.sampled_from([(), ("g", "h"), ("a",)]),
            st.sampled_from([None, "large"]),
            st.none() | st.floats(-1e6, 1e6) | WORDS,
            WORDS,
            WORDS,
            st.none() | st.dates(),
        ),
        max_size=4,
        unique_by=lambda waiver: (waiver.limit, waiver.obstacles, waiver.height),
    ),
    st.sampled_from([None, FILE]),
)
def test_what_is_written_is_what_is_read(tmp_path_factory, waivers, before):
    path = tmp_path_factory.mktemp("w") / "x.waivers.toml"
    path.write_text(with_waivers(before, waivers), encoding="utf-8", newline="")
    read = read_waivers(path)
    assert all(waiver in read for waiver in waivers)


def test_a_baseline_covers_what_was_found_and_nothing_that_got_worse(verdict, tmp_path):
    file = tmp_path / "base.json"
    plan = str(tmp_path / "old" / "x.course.toml")
    file.write_text(baseline_text(str(file), [(plan, broken_now(verdict))]))
    entries = read_baseline(str(file)).of(plan)
    assert entries
    accepted = accept_baseline(verdict, entries)
    assert accepted.legal
    assert {f.waived.reason for f in accepted.findings if f.waived} == {"in the baseline"}
    assert accept_baseline(with_finding(verdict), entries).notes[0].startswith(f"{len(entries)} findings")
    assert broken_now(accepted) == broken_now(verdict)
    short = [f for f in verdict.findings if f.counts_against and f.unit == "m" and f.min and f.measured < f.min]
    worse = [f._replace(measured=f.measured - 0.01) for f in short]
    assert worse
    assert not any(f.waived for f in accept_baseline(with_finding(verdict, *worse), entries).findings)


def test_a_baseline_is_the_same_whatever_the_order_of_the_plans(verdict):
    plans = [(f"{name}.course.toml", broken_now(verdict)) for name in "abc"]
    texts = {baseline_text("base.json", order) for order in itertools.permutations(plans)}
    assert len(texts) == 1


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not JSON"),
        ("[]", "is no baseline"),
        ('{"format": 2, "findings": []}', "format"),
        ('{"format": 1, "findings": [{"file": 1}]}', "findings[0].file"),
    ],
)
def test_a_broken_baseline_is_told(tmp_path, text, words, monkeypatch):
    file = tmp_path / "base.json"
    file.write_text(text)
    with pytest.raises(WaiverError) as caught:
        read_baseline(str(file))
    assert words in str(caught.value)
    with speaking_pseudo(monkeypatch), pytest.raises(WaiverError) as caught:
        read_baseline(str(file))
    assert readable(str(caught.value), [str(file), text, "--write-baseline limit obstacles"]) == set()


def test_a_baseline_that_is_not_there_is_told(tmp_path):
    with pytest.raises(WaiverError, match="cannot be read"):
        read_baseline(str(tmp_path / "none.json"))
