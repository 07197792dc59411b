"""The figures that the walk takes for granted: data with a source each, and any of them can be changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from os import PathLike
from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from coursecheck.documents import Document, Problems, convert, nearest, read_toml
from coursecheck.errors import DocumentError, UsageError
from coursecheck.language import say
from coursecheck.resources import folder
from coursecheck.rulebook.document import Line

__all__ = ["DOUBT", "Figure", "Figures", "load_figures"]

DOUBT = 0.15
"""How far, as a share, every figure may be off: the model's speeds are not known better."""

Amount = Annotated[float, Meta(gt=0, le=1e6)]


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the model.

    Attributes:
        id: its name, kebab-case.
        value: in `unit`.
        unit: "m", "m/s", "m/s2", "deg", "s", "times", "%", "count" or "points".
        about: what it is.
        basis: "published", "practice" (without a source) or "assumption"; "changed" by an option or a file.
        source: where it was read, or why it was chosen.
    """

    id: str
    value: float
    unit: str
    about: str
    basis: str
    source: str


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures by id, in the file's order."""

    by_id: Mapping[str, Figure]

    def __getitem__(self, name: str) -> float:
        return self.by_id[name].value

    def __iter__(self) -> Iterator[Figure]:
        return iter(self.by_id.values())

    def changed(self, values: Mapping[str, float], source: str) -> Figures:
        """The same figures with other values.

        Args:
            values: by id, above 0.
            source: who changed them.

        Raises:
            UsageError: a figure that is not known, or a value that makes no sense.
        """
        rows = dict(self.by_id)
        for name, value in values.items():
            if name not in rows:
                hint = nearest(name, list(rows))
                raise UsageError(say("the walk has no figure {name!r}; {hint}", name=name, hint=hint))
            if not 0.0 < value < float("inf"):
                what = f"{name} = {value}"
                raise UsageError(say("{what} makes no sense: give a number above 0", what=what))
            rows[name] = replace(rows[name], value=value, basis="changed", source=source)
        return Figures(rows)


class _Row(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    id: Line
    value: Amount
    unit: Literal["m", "m/s", "m/s2", "deg", "s", "times", "%", "count", "points"] | UnsetType = UNSET
    about: Line | UnsetType = UNSET
    basis: Literal["published", "practice", "assumption"] | UnsetType = UNSET
    source: Line | UnsetType = UNSET


class _File(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    format: Literal[1]
    figure: Annotated[list[_Row], Meta(max_length=1000)]


def load_figures(own: str | PathLike[str] | None = None) -> Figures:
    """The figures that ship, with those of a file of one's own put over them.

    Args:
        own: a file of the same form that holds what it changes; `id` and `value` are enough.

    Raises:
        DocumentError: with every problem of the file.
    """
    shipped = _rows(read_toml(folder("rules") / "models" / "walk.toml", DocumentError), None)
    return Figures(shipped if own is None else _rows(read_toml(own, DocumentError), shipped))


def _rows(document: Document, base: Mapping[str, Figure] | None) -> dict[str, Figure]:
    problems = Problems(document)
    taken = convert(document.raw, _File, problems)
    rows = dict(base or {})
    for place in taken.places("figure"):
        row = taken.at(place, _Row)
        if row is None:
            continue
        before = rows.get(row.id)
        if base is not None and before is None:
            problems.add(f"{place}.id", say("unknown figure {name!r}", name=row.id), nearest(row.id, list(rows)))
            continue
        rows[row.id] = _figure(row, before, document.name)
    problems.raise_any(DocumentError)
    return rows


def _figure(row: _Row, before: Figure | None, file: str) -> Figure:
    """A row as a figure; what a file of one's own leaves out stays as it was, but for where the value came from."""

    def given(value: str | UnsetType, otherwise: str) -> str:
        return otherwise if isinstance(value, UnsetType) else value

    old = before or Figure(row.id, 0.0, "times", "", "assumption", "")
    return Figure(
        id=row.id,
        value=row.value,
        unit=given(row.unit, old.unit),
        about=given(row.about, old.about),
        basis=given(row.basis, "changed"),
        source=given(row.source, f"changed in {file}"),
    )
