"""Rows on limits and on sizes of equipment, from a file into the model."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from msgspec import UNSET

from coursecheck.documents import nearest
from coursecheck.language import both, either, say
from coursecheck.rulebook.document import EquipmentTable, LimitTable
from coursecheck.rulebook.layer import Layer
from coursecheck.rulebook.model import EquipmentSize, Limit
from coursecheck.rulebook.vocabulary import KIND, check_facets, check_words

__all__ = ["limits_of", "sizes_of"]

REPEATED = ("about", "measure", "metric", "of", "between", "severity")
"""What a later row of the same id repeats, from whichever file."""
REPEATED_IN_FILE = ("clause", "basis", "source")
"""What it repeats from an earlier row of the same file only: another file's figure has a source of its own."""
NEEDED = ("about", "measure", "metric", "severity", "basis", "source")
_IN_FEET = {"m": " ft", "m2": " ft²"}
BOUNDS = {"min": "a range", "max": "a range", "equals": "equals", "required": "required", "forbidden": "forbidden"}


def limits_of(layer: Layer, base: Sequence[Limit]) -> list[Limit]:
    """The limits of one file.

    Args:
        layer: the file; mistakes are noted there.
        base: the rows of the files that it extends.
    """
    rows: list[Limit] = []
    for path, raw, table in layer.tables("limit", LimitTable):
        here = next((row for row in reversed(rows) if row.id == table.id), None)
        below = next((row for row in reversed(base) if row.id == table.id), None)
        if below is not None and "reason" not in raw:
            base_id = below.place.rulebook
            wrong = say('missing: {rulebook} has a limit "{limit}" already', rulebook=base_id, limit=table.id)
            layer.problems.add(f"{path}.reason", wrong, say("say why this row goes before it, or choose another id"))
        rows.append(_limit(layer, path, raw, table, _repeated(here, below)))
    return rows


def _repeated(here: Limit | None, below: Limit | None) -> dict[str, Any]:
    """What a row may leave out, with the values that it then has."""
    earlier = here or below
    values = {} if earlier is None else {name: getattr(earlier, name) for name in REPEATED}
    return values | ({} if here is None else {name: getattr(here, name) for name in REPEATED_IN_FILE})


def _limit(layer: Layer, path: str, raw: Mapping[str, Any], table: LimitTable, repeated: Mapping[str, Any]) -> Limit:
    for name in NEEDED:
        if name not in raw and not repeated.get(name):
            right = say("the first row of a limit says its {key}", key=name)
            layer.problems.add(f"{path}.{name}", say("missing"), right)
    values = {name: getattr(table, name) for name in (*REPEATED, *REPEATED_IN_FILE)}
    said = {name: repeated.get(name, "") if value is UNSET else value for name, value in values.items()}
    unit = _check_measure(layer, path, said, table)
    where = layer.selectors(table.where, path)
    if said["measure"] in layer.words.measures:
        check_facets(where, layer.words.measures[said["measure"]].facets, path, layer.problems)
    if unit is not None:
        _check_of(layer, f"{path}.of", said["of"] or (), unit)
    if table.between is not UNSET and table.between[0] > table.between[1]:
        layer.problems.add(f"{path}.between", say("its first length is above its second"), say("swap them"))
    _check_bounds(layer, path, raw, table, unit)
    if (said["severity"], said["basis"]) == ("must", "memory"):
        wrong = say('a limit from memory cannot be a "must"')
        layer.problems.add(f"{path}.severity", wrong, say('write "should" or "note"'))
    low, high, exact = (
        None if value is UNSET else layer.metric(value, unit or "") for value in (table.min, table.max, table.equals)
    )
    return Limit(
        id=table.id,
        measure=said["measure"],
        metric=said["metric"],
        about=said["about"],
        where=where,
        severity=said["severity"],
        clause=said["clause"],
        basis=said["basis"],
        source=said["source"],
        place=layer.place(path),
        of=tuple(said["of"]),
        between=_between(layer, table, repeated),
        min=low,
        max=high,
        equals=exact,
        required=() if table.required is UNSET else tuple(table.required),
        forbidden=() if table.forbidden is UNSET else tuple(table.forbidden),
        reason="" if table.reason is UNSET else table.reason,
        written=_written(table, _IN_FEET.get(unit or "", "") if layer.units == "ft" else ""),
    )


def _written(table: LimitTable, suffix: str) -> str:
    """The bound as the file has it, with the unit of the file where that is not the metre."""
    numbers = (("min", table.min), ("max", table.max), ("equals", table.equals))
    parts = [f"{word} {bound:g}{suffix}" for word, bound in numbers if bound is not UNSET]
    lists = (("required", table.required), ("not", table.forbidden))
    parts += [f"{word} {', '.join(kinds)}" for word, kinds in lists if kinds is not UNSET]
    return ", ".join(parts)


def _between(layer: Layer, table: LimitTable, repeated: Mapping[str, Any]) -> tuple[float, float] | None:
    """The lengths that a count counts, in metres; what an earlier row said is metric already."""
    if table.between is UNSET:
        return repeated.get("between")
    low, high = table.between
    return layer.metric(low, "m"), layer.metric(high, "m")


def _check_measure(layer: Layer, path: str, said: Mapping[str, Any], table: LimitTable) -> str | None:
    """Notes an unknown measure, metric or size; the unit of what is measured, where that is known."""
    measures = layer.words.measures
    name, metric = said["measure"], said["metric"]
    if not name or not metric:
        return None
    if name not in measures:
        layer.problems.add(f"{path}.measure", say('unknown measure "{name}"', name=name), nearest(name, measures))
        return None
    measure = measures[name]
    if "*" in measure.metrics:
        known: Collection[str] = _sizes_known(layer, table)
    else:
        known = measure.metrics
    if metric not in known or not measure.knows(metric):
        right = nearest(metric, known) or say("give these kinds a row for each: no size is common to them")
        wrong = say('"{measure}" is not measured by "{metric}"', measure=name, metric=metric)
        layer.problems.add(f"{path}.metric", wrong, right)
        return None
    return measure.unit_of(metric)


def _sizes_known(layer: Layer, table: LimitTable) -> Collection[str]:
    """The names of sizes that each of the row's kinds has; without a selector on kinds, that any kind has."""
    kinds = layer.words.kinds
    where = table.where.kind
    names = list(kinds) if where is UNSET else [where] if isinstance(where, str) else where
    sizes = [list(kinds[name].sizes) for name in names if name in kinds]
    if where is UNSET:
        return list(dict.fromkeys(size for each in sizes for size in each))
    return [size for size in (sizes[0] if sizes else []) if all(size in each for each in sizes)]


def _check_of(layer: Layer, path: str, of: Sequence[str], unit: str) -> None:
    if of and unit != "count":
        right = say("leave it out; `where` says whom a row applies to")
        layer.problems.add(path, say("only a count counts kinds"), right)
    check_words(of, layer.words.kinds, KIND, path, layer.problems, layer.words.synonyms())


def _check_bounds(layer: Layer, path: str, raw: Mapping[str, Any], table: LimitTable, unit: str | None) -> None:
    """Notes a missing bound, several sorts of bound, and a bound that does not suit what is measured."""
    add = layer.problems.add
    given = [name for name in BOUNDS if name in raw]
    if not given:
        add(path, say("no bound"), say("give {what}", what=either(list(BOUNDS))))
    if len({BOUNDS[name] for name in given}) > 1:
        wrong = say("several sorts of bound: {names}", names=", ".join(given))
        add(f"{path}.{given[-1]}", wrong, say("one row has one; add another row"))
    of_kinds = [name for name in given if name in ("required", "forbidden")]
    if unit == "kind" and len(of_kinds) < len(given):
        wrong = say("this measure answers with a kind of obstacle")
        add(f"{path}.{given[0]}", wrong, say("give {what}", what=either(["required", "forbidden"])))
    if unit not in (None, "kind") and of_kinds:
        wrong = say("this measure answers with a number")
        add(f"{path}.{of_kinds[0]}", wrong, say("give {what}", what=either(["min", "max", "equals"])))
    if "equals" in given and unit not in (None, "count"):
        add(f"{path}.equals", say("only a count can be exact"), say("give {what}", what=both(["min", "max"])))
    _check_figures(layer, path, table, unit)


def _check_figures(layer: Layer, path: str, table: LimitTable, unit: str | None) -> None:
    """Notes a count that is not whole, min above max, and unknown kinds."""
    add = layer.problems.add
    for name, value in (("min", table.min), ("max", table.max), ("equals", table.equals)):
        if unit == "count" and value is not UNSET and value != round(value):
            add(f"{path}.{name}", *_no_count(value))
    if table.min is not UNSET and table.max is not UNSET and table.min > table.max:
        wrong = say("min {low} is above max {high}", low=f"{table.min:g}", high=f"{table.max:g}")
        add(f"{path}.min", wrong, say("swap them"))
    words = layer.words
    for name, kinds in (("required", table.required), ("forbidden", table.forbidden)):
        named = [] if kinds is UNSET else kinds
        check_words(named, words.kinds, KIND, f"{path}.{name}", layer.problems, words.synonyms())


def _no_count(value: float) -> tuple[str, str]:
    return say("a count of {value} makes no sense", value=f"{value:g}"), say("write a whole number")


def sizes_of(layer: Layer) -> list[EquipmentSize]:
    """The sizes of equipment of one file, in metres, degrees or counts."""
    rows: list[EquipmentSize] = []
    for path, _, table in layer.tables("equipment", EquipmentTable):
        kinds = layer.words.kinds
        check_words([table.kind], kinds, KIND, f"{path}.kind", layer.problems, layer.words.synonyms())
        sizes = kinds[table.kind].sizes if table.kind in kinds else {}
        size = sizes.get(table.size)
        if sizes and size is None:
            wrong = say('{kind} has no size "{size}"', kind=table.kind, size=table.size)
            layer.problems.add(f"{path}.size", wrong, nearest(table.size, sizes))
        if size is not None and not size.signed and table.value <= 0:
            wrong = say("a size of {value} makes no sense", value=f"{table.value:g}")
            layer.problems.add(f"{path}.value", wrong, say("write a number above 0"))
        if size is not None and size.unit == "count" and table.value != round(table.value):
            layer.problems.add(f"{path}.value", *_no_count(table.value))
        where = layer.selectors(table.where, path)
        check_facets(where, (), path, layer.problems)
        rows.append(
            EquipmentSize(
                kind=table.kind,
                size=table.size,
                value=layer.metric(table.value, size.unit if size else ""),
                where=where,
                basis=table.basis,
                source=table.source,
                place=layer.place(path),
                reason="" if table.reason is UNSET else table.reason,
            )
        )
    return rows
