"""What a measure says of its values before it measures: the facets that they carry, and those that none ever has."""

from dataclasses import replace

import pytest

from coursecheck.course.model import Blocked, Ring, Stock
from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES, Ask
from coursecheck.path.compute import compute_line
from coursecheck.path.runner import Runner

RUNNER = Runner(turn_radius_m=1.5, takeoff_m=1.0, landing_m=1.0)

RING = Ring(
    ((-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0)),
    frozenset({0, 1, 2, 3}),
    exit=((50, 0), (50, 4)),
    blocked=(Blocked("pillar", centre=(0.0, 0.0), radius_m=0.3),),
)


def scenes(bench):
    for kind in KINDS:
        things = [("a", "jump", 0, -14, 0), ("k", kind, 0, 0, 0), ("b", "jump", 0, 14, 0), ("t", "tunnel", 1, -3, 0)]
        others = [("w", "dog-walk", 9, 0, 0), ("v", "tunnel", 10, -2, 0)]
        for run in (["a", "k", "b"], ["k", "b", "k reverse"]):
            yield bench(*things, *others, run=run, ring=RING, store={"jump": Stock(9)})
        # a threadle, a serpentine, a jump from behind and a wrap over this kind, in one row
        row = [("p", "jump", -4, 0, 0), ("k", kind, 0, 0, 0), ("q", "jump", 4, 0, 0), ("r", "jump", 4, 12, 0)]
        for run in (["p", "k", "q"], ["p reverse", "k", "q reverse"], ["q", "r reverse", "k", "r", "k reverse"]):
            yield bench(*row, run=run, ring=RING)
    turning = bench(("a", "jump", 0, 0, 0), ("b", "jump", 6, 0, 180))
    yield replace(turning, line=compute_line(turning.course, turning.shapes, RUNNER))


@pytest.fixture
def seen(bench):
    found = {name: {} for name in MEASURES}
    for scene in scenes(bench):
        for measure in MEASURES.values():
            for metric in measure.metrics:
                names = {size for kind in KINDS.values() for size in kind.sizes} if metric == "*" else {metric}
                for value in (v for name in names for v in measure.take(scene, Ask(name))):
                    for facet, word in (pair for facets in value.facets for pair in facets.items()):
                        found[measure.name].setdefault(facet, set()).add(word)
    return found


def test_values_carry_the_facets_that_their_measure_declares_and_no_other(seen):
    assert {name: set(facets) for name, facets in seen.items()} == {n: set(m.facets) for n, m in MEASURES.items()}


def test_what_is_never_carried_is_never_carried_and_every_other_kind_is(seen):
    for measure in MEASURES.values():
        for facet, words in measure.never.items():
            assert not seen[measure.name][facet] & set(words), (measure.name, facet)
        if "kind" in measure.facets:
            assert seen[measure.name]["kind"] == set(KINDS) - set(measure.never.get("kind", ())), measure.name
