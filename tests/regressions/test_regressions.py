"""Plans that were once judged wrongly, and must never be again: two lists that grow.

Each plan is a course file with its story in the first line, in `wrongly_flagged` or `wrongly_missed`, and a line in
the table here: the limit at fault, and whom it is about. A plan is worth keeping when it fails before the fault is
mended.
"""

from functools import cache
from pathlib import Path

import pytest

import coursecheck

HERE = Path(__file__).parent

WRONGLY_FLAGGED = {
    "spread-with-room-to-straighten": ("run-up-min", ("a", "b")),
    "ring-of-exactly-the-least-size": ("ring-short-side", ()),
    "jump-over-the-edge": ("obstacle-to-edge", ("x",)),
    "one-swerve-to-either-side": ("side-changes", ()),
}
WRONGLY_MISSED = {
    "swerve-after-swerve": ("side-changes", ()),
    "tunnel-bent-too-far-to-the-left": ("tunnel-bend", ("t",)),
    "threadle-too-narrow-for-the-line": ("threadle-gap", ("a", "b")),
}


@cache
def findings(folder, name):
    return coursecheck.check(*coursecheck.load_plan(HERE / folder / f"{name}.course.toml")).findings


def flagged(folder, name):
    """Limits with whom they are held against: anything that a judge would have to look at."""
    return {
        (f.limit, f.obstacles) for f in findings(folder, name) if f.outcome in ("breach", "close", "unmeasurable")
    }


@pytest.mark.parametrize("name", WRONGLY_FLAGGED)
def test_what_was_wrongly_flagged_is_flagged_no_more(name):
    limit, obstacles = WRONGLY_FLAGGED[name]
    assert (limit, obstacles) not in flagged("wrongly_flagged", name)
    assert any(f.limit == limit and f.outcome == "met" for f in findings("wrongly_flagged", name))


@pytest.mark.parametrize("name", WRONGLY_MISSED)
def test_what_was_wrongly_missed_is_found(name):
    assert WRONGLY_MISSED[name] in flagged("wrongly_missed", name)


def test_a_jump_over_the_edge_is_still_flagged_once():
    about = {limit for limit, obstacles in flagged("wrongly_flagged", "jump-over-the-edge") if "x" in obstacles}
    assert about == {"inside-ring"}


@pytest.mark.parametrize(
    ("folder", "table"), [("wrongly_flagged", WRONGLY_FLAGGED), ("wrongly_missed", WRONGLY_MISSED)]
)
def test_every_plan_is_in_its_table_and_tells_its_story(folder, table):
    plans = {path.name.removesuffix(".course.toml"): path for path in (HERE / folder).glob("*.course.toml")}
    assert set(plans) == set(table)
    for path in plans.values():
        story = path.read_text(encoding="utf-8").splitlines()[0]
        assert story.startswith("# ")
        assert story.endswith(".")
