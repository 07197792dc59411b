"""Every measure has a plan that shows it, and for every limit that ships one is kept and one is broken."""

import dataclasses
import itertools

import pytest
from shapely import LineString

from coursecheck.equipment import KINDS, build_shape
from coursecheck.examples import PLANS, Setting, example, key_of
from coursecheck.examples.layout import Edges, box, chain, place, rows_of, sketch
from coursecheck.measures import MEASURES
from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.reports.rulebook_tables import limit_entries
from coursecheck.rulebook.tabulation import audience

BOOKS = {name: load_rulebook(name) for name in ["base", *shipped_rulebooks()]}


def asked():
    """Every row that decides first for somebody, with its setting; those that share an example only once."""
    found = {}
    for book in BOOKS.values():
        for name in dict.fromkeys(row.id for row in book.limits):
            for entry, row in list(limit_entries(book, name, audience(book)))[:1]:
                setting = Setting(*entry.grades[0], entry.heights[-1])
                found.setdefault(key_of(book, row, setting), (book, row, setting))
    return list(found.values())


def by_measure():
    """Of each measure and metric one row."""
    found = {}
    for book, row, setting in asked():
        found.setdefault((row.measure, row.metric), (book, row, setting))
    return [pytest.param(*case, id=f"{case[1].measure}-{case[1].metric}") for case in found.values()]


def test_every_measure_has_a_plan_that_shows_it():
    assert set(PLANS) == set(MEASURES)


@pytest.mark.parametrize("good", [True, False], ids=["kept", "broken"])
@pytest.mark.parametrize(("book", "row", "setting"), by_measure())
def test_a_limit_is_shown_kept_and_broken(book, row, setting, good):
    shown = example(book, row, setting, good=good)
    assert shown is not None
    assert shown.outcome == ("met" if good else "breach")
    assert shown.message
    if row.measure not in ("overlap", "blocked-ground"):  # what stands apart shares no ground to measure
        assert shown.value is not None


@pytest.mark.parametrize(("book", "row", "setting"), by_measure())
def test_the_obstacles_of_an_example_stand_inside_its_ring(book, row, setting):
    for good in (True, False):
        shown = example(book, row, setting, good=good)
        if row.measure != "beyond-ring":
            assert all(shown.scene.ring.buffer(1e-6).covers(s.footprint) for s in shown.scene.shapes.values())


def test_the_same_row_has_the_same_example():
    book = BOOKS["club-show"]
    row = next(row for row in book.limits if row.id == "leg-distance-max")
    setting = Setting("agility", "1", "large")
    first, second = (example(book, row, setting, good=False) for _ in range(2))
    assert (first.message, first.scene.course) == (second.message, second.scene.course)
    assert key_of(book, row, setting) == key_of(book, dataclasses.replace(row, source="else", clause="1"), setting)
    assert key_of(book, row, setting) != key_of(book, dataclasses.replace(row, max=4.0), setting)


def test_an_example_is_none_where_no_plan_can_break_the_limit():
    book = BOOKS["club-show"]
    row = next(row for row in book.limits if row.id == "leg-distance-max")
    assert (
        example(book, dataclasses.replace(row, max=None, min=0.0), Setting("agility", "1", "large"), good=False)
        is None
    )


@pytest.mark.parametrize("kind", list(KINDS))
@pytest.mark.parametrize("bearing", [0.0, 90.0, 217.0])
def test_an_obstacle_is_placed_by_its_entry(kind, bearing):
    obstacle, leave = place("a", kind, (3.0, 4.0), bearing)
    way = build_shape(obstacle).forwards
    assert way.entry.centre == pytest.approx((3.0, 4.0))
    assert way.exit.centre == pytest.approx(leave)


def test_a_chain_leaves_the_gaps_it_was_given():
    obstacles = chain(["jump", "tunnel", "weaves"], [5.0, 6.5])
    ways = [build_shape(obstacle).forwards for obstacle in obstacles]
    gaps = [after.entry.centre[0] - before.exit.centre[0] for before, after in itertools.pairwise(ways)]
    assert gaps == pytest.approx([5.0, 6.5])


def test_rows_turn_at_their_ends_and_do_not_overlap():
    obstacles = rows_of(["jump", "dog-walk", "tunnel"] * 5, 5.0)
    grounds = [build_shape(obstacle).footprint for obstacle in obstacles]
    assert len({obstacle.id for obstacle in obstacles}) == 15
    assert not any(a.intersects(b) for i, a in enumerate(grounds) for b in grounds[i + 1 :])
    assert {obstacle.bearing_deg for obstacle in obstacles} == {90.0, 270.0}


def test_a_ring_lies_round_its_obstacles_with_its_corner_at_the_origin():
    obstacles = chain(["jump", "jump"], [5.0], start=(7.0, -3.0))
    course = sketch(obstacles, edges=Edges(top=0.5)).course
    assert course.ring.outline[0] == (0.0, 0.0)
    left, bottom, right, top = box(course.obstacles)
    width, height = course.ring.outline[2]
    assert left == pytest.approx(width - right)
    assert (bottom, height - top) == pytest.approx((4.0, 0.5 - box(obstacles)[3]))


@pytest.mark.parametrize("name", ["club-show", "akc-premier-2016"])
@pytest.mark.parametrize("good", [True, False], ids=["kept", "broken"])
def test_the_dog_of_a_threadle_is_shown_coming_through_the_gap(name, good):
    book = BOOKS[name]
    row = next(row for row in book.limits if row.id == "threadle-gap")
    discipline, grades = next(iter(book.disciplines.items()))
    shown = example(book, row, Setting(discipline, grades[-1], list(book.heights)[-1]), good=good)
    track = LineString(shown.scene.track(shown.scene.passes[0]))
    assert track.intersects(LineString(shown.value.witness.points))
