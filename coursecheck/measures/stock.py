"""The equipment: its sizes, and whether the club owns enough of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coursecheck.equipment import KINDS, Shape
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import KIND, known_values, measure
from coursecheck.measures.scene import Scene


@measure(
    "equipment-size",
    title="size of the equipment",
    unit="m",
    units={"poles": "count", "bend": "deg"},
    about="A size of an obstacle as it stands in the plan or, where the plan gives none, in the rulebook.",
    metrics={"*": "the size of that name: bar, wing, depth, length, plank, ..."},
    facets=KIND,
)
def _equipment_size(scene: Scene, ask: Ask) -> Iterator[Value]:
    shapes = [shape for shape in scene.shapes.values() if ask.metric in shape.sizes]
    keys = [(shape, scene.numbers(shape.obstacle.id)) for shape in shapes]
    return known_values(
        scene,
        f"equipment-size {ask.metric}",
        keys,
        lambda missing: (_size_value(*keys[i], ask.metric) for i in missing),
    )


def _size_value(shape: Shape, passes: tuple[int, ...], size: str) -> Value:
    return Value(
        measured=abs(shape.sizes[size]),  # a bend to either side is as much of a bend
        obstacles=(shape.obstacle.id,),
        passes=passes,
        witness=Witness("point", (shape.centre,)),
        facets=({"kind": shape.kind.name},),
        note=size,
    )


@measure(
    "store-shortage",
    title="obstacles that the club lacks",
    unit="count",
    about="How many obstacles of a kind the plan asks for beyond what the club owns; of tunnels, by length too.",
    metrics={"all": "obstacles in the ring less those in the store; no value where the plan gives no store"},
    by_height=False,
    facets=KIND,
)
def _store_shortage(scene: Scene, _ask: Ask) -> Iterator[Value]:
    store = scene.course.store
    if store is None:
        return
    for kind in dict.fromkeys(shape.kind.name for shape in scene.shapes.values()):
        shapes = [shape for shape in scene.shapes.values() if shape.kind.name == kind]
        stock = store.get(kind)
        lacking = len(shapes) - (stock.count if stock else 0)
        if stock and stock.lengths:
            lacking = max(lacking, _unmatched([shape.sizes["length"] for shape in shapes], stock.lengths))
        yield Value(
            measured=float(max(0, lacking)),
            obstacles=tuple(shape.obstacle.id for shape in shapes),
            passes=scene.numbers(shapes[0].obstacle.id) if len(shapes) == 1 else (),
            facets=({"kind": kind},),
            note=KINDS[kind].title,
        )


def _unmatched(wanted: Sequence[float], owned: Sequence[float]) -> int:
    """How many wanted lengths find no tunnel of that length among those owned (to 1 cm)."""
    left = sorted(owned)
    missing = 0
    for length in sorted(wanted):
        match = next((have for have in left if abs(have - length) <= 0.01), None)
        if match is None:
            missing += 1
        else:
            left.remove(match)
    return missing
