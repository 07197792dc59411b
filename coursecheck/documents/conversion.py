"""From raw TOML to msgspec structs, with every mistake told and not only the first.

msgspec itself stops at the first mistake and speaks of types. Here the same struct definitions are walked, each
value is held against its own, and what is wrong is said in words of the file.
"""

from __future__ import annotations

import math
import re
import sys
from collections.abc import Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from typing import Any, Generic, TypeVar

from msgspec import inspect

from coursecheck.documents.lines import join_path
from coursecheck.documents.problems import Problems, likely, nearest
from coursecheck.documents.wording import bare, describe, fits, wanted
from coursecheck.language import say

__all__ = ["Taken", "convert"]

T = TypeVar("T")
V = TypeVar("V")


@dataclass(frozen=True, slots=True)
class Taken(Generic[T]):
    """What could be taken of a file.

    Attributes:
        value: the whole of it, or None where anything in it is wrong.
        parts: every part that is right in itself, by key path.
    """

    value: T | None
    parts: Mapping[str, Any] = field(repr=False)

    def at(self, path: str, kind: type[V]) -> V | None:
        """The part at a key path; None where it is missing, wrong, or not of that type."""
        part = self.parts.get(path)
        return part if isinstance(part, kind) else None

    def places(self, path: str) -> list[str]:
        """The key paths of those items of a list that are right, in order."""
        start = len(path) + 1
        return [place for place in self.parts if place.startswith(f"{path}[") and place[start:-1].isdigit()]


def convert(
    raw: Mapping[str, Any], struct: type[T], problems: Problems, synonyms: Mapping[str, str] | None = None
) -> Taken[T]:
    """Takes raw TOML as a struct and notes every mistake in it.

    Understood are structs (also a tagged union of them), lists, tuples, mappings with text keys, text, numbers,
    decimals, booleans, literals, dates, `Any`, and unions of these that TOML can tell apart. `UNSET` as a default
    makes a key optional. Numbers must be finite; a whole number may stand for a float.

    Args:
        raw: the tables of the file.
        struct: a msgspec Struct class; `Meta` descriptions are used to say what would be right.
        problems: where mistakes are noted.
        synonyms: other words for right ones, for the hint at an unknown key or tag.

    Returns:
        The struct, and all parts that could be taken even where others could not.
    """
    walk = _Walk(problems, synonyms or {})
    definition: Any = struct  # for mypy a type with an unknown metaclass might not be hashable
    value = walk.take(raw, _definition(definition), "")
    return Taken(None if value is _WRONG else value, walk.parts)


_MOST_HINTS = 50  # a table with more unknown keys is of another kind altogether; looking for each takes its time


@cache
def _definition(struct: Hashable) -> inspect.Type:
    return inspect.type_info(struct)


_WRONG = object()
"""Stands for a value that could not be taken, where the mistake is noted already."""

_UNFIT = object()
"""Stands for a value that is not what was asked for, where the mistake is still to be noted."""


class _Walk:
    def __init__(self, problems: Problems, synonyms: Mapping[str, str]) -> None:
        self.problems = problems
        self.synonyms = synonyms
        self.parts: dict[str, Any] = {}

    def take(self, raw: Any, node: inspect.Type, path: str) -> Any:
        """The value that the raw one stands for, or _WRONG."""
        value = self._take(raw, bare(node), path)
        if value is _UNFIT:
            self.problems.add(path, say("found {what}", what=describe(raw)), say("write {what}", what=wanted(node)))
            return _WRONG
        if value is not _WRONG:
            self.parts[path] = value
        return value

    def _take(self, raw: Any, node: inspect.Type, path: str) -> Any:
        """The value, _WRONG where a part of it is wrong, or _UNFIT where all of it is."""
        match node:
            case inspect.StructType(tag_field=str(tag)) if isinstance(raw, dict):
                return self._tagged(raw, [node], tag, path)
            case inspect.StructType():
                return self._struct(raw, node, path)
            case inspect.UnionType():
                return self._union(raw, node, path)
            case inspect.ListType():
                return self._list(raw, node, path)
            case inspect.TupleType():
                return self._tuple(raw, node, path)
            case inspect.DictType():
                return self._mapping(raw, node, path)
            case inspect.IntType() | inspect.FloatType():
                return _number(raw, node)
            case inspect.StrType():
                return _text(raw, node)
            case inspect.LiteralType():
                return self._literal(raw, node, path)
        return _other(raw, node)

    def _struct(self, raw: Any, node: inspect.StructType, path: str) -> Any:
        if not isinstance(raw, dict):
            return _UNFIT
        names = [item.encode_name for item in node.fields] + ([node.tag_field] if node.tag_field else [])
        unknown = self._unknown(raw, names, path) if node.forbid_unknown_fields else {}
        values = self._fields(raw, node.fields, path, unknown.values())
        return node.cls(**values) if not unknown and values is not None else _WRONG

    def _unknown(self, raw: Mapping[str, Any], names: Collection[str], path: str) -> dict[str, str | None]:
        """The keys that are not known, noted as mistakes, each with the key that was most likely meant."""
        unknown: dict[str, str | None] = {}
        for key in raw:
            if key not in names:
                hinted = len(unknown) < _MOST_HINTS
                unknown[key] = likely(key, names, self.synonyms) if hinted else None
                hint = nearest(key, names, self.synonyms) if hinted else ""
                self.problems.add(join_path(path, key), say("unknown key"), hint)
        return unknown

    def _fields(
        self, raw: Mapping[str, Any], fields: Iterable[inspect.Field], path: str, misspelt: Collection[str | None]
    ) -> dict[str, Any] | None:
        """The values of a struct's fields by their names in Python; None where one is missing or wrong.

        A key that was misspelt is not told a second time as missing.
        """
        values: dict[str, Any] = {}
        whole = True
        for item in fields:
            name, place = item.encode_name, join_path(path, item.encode_name)
            if name in raw:
                values[item.name] = self.take(raw[name], item.type, place)
                whole = whole and values[item.name] is not _WRONG
            elif item.required:
                whole = False
                if name not in misspelt:
                    self.problems.add(place, say("missing"), _to_add(name, wanted(item.type)))
        return values if whole else None

    def _union(self, raw: Any, node: inspect.UnionType, path: str) -> Any:
        choices = [bare(choice) for choice in node.types]
        structs = [choice for choice in choices if isinstance(choice, inspect.StructType)]
        if isinstance(raw, dict) and structs and structs[0].tag_field:
            return self._tagged(raw, structs, structs[0].tag_field, path)
        fitting = next((choice for choice in node.types if fits(raw, choice)), None)
        return _UNFIT if fitting is None else self.take(raw, fitting, path)

    def _tagged(self, raw: Mapping[str, Any], structs: list[inspect.StructType], tag_field: str, path: str) -> Any:
        """One of several structs, told apart by a key. Where that is wrong, the keys they share are still checked."""
        tags = {str(struct.tag): struct for struct in structs}
        tag, place = raw.get(tag_field), join_path(path, tag_field)
        if isinstance(tag, str) and tag in tags:
            self.parts[place] = tag
            return self._struct(raw, tags[tag], path)
        fields = {item.encode_name: item for struct in structs for item in struct.fields}
        shared = [item for item in fields.values() if all(item in struct.fields for struct in structs)]
        misspelt = self._unknown(raw, [*fields, tag_field], path).values()
        if tag is None and tag_field not in misspelt:
            self.problems.add(place, say("missing"), say("add {key}: {what}", key=tag_field, what=_one_of(tags)))
        elif isinstance(tag, str):
            wrong = say("unknown {key} {word}", key=tag_field, word=describe(tag))
            self.problems.add(place, wrong, nearest(tag, tags, self.synonyms))
        elif tag is not None:
            wrong = say("found {what}", what=describe(tag))
            self.problems.add(place, wrong, say("write {what}", what=_one_of(tags)))
        self._fields(raw, shared, path, misspelt)
        return _WRONG

    def _list(self, raw: Any, node: inspect.ListType, path: str) -> Any:
        fewest, most = node.min_length or 0, node.max_length
        if not isinstance(raw, list) or len(raw) < fewest or (most is not None and len(raw) > most):
            return _UNFIT
        values = [self.take(item, node.item_type, join_path(path, i)) for i, item in enumerate(raw)]
        return _WRONG if any(value is _WRONG for value in values) else values

    def _tuple(self, raw: Any, node: inspect.TupleType, path: str) -> Any:
        if not isinstance(raw, list) or len(raw) != len(node.item_types):
            return _UNFIT
        pairs = zip(raw, node.item_types, strict=True)
        values = [self.take(item, kind, join_path(path, i)) for i, (item, kind) in enumerate(pairs)]
        return _WRONG if any(value is _WRONG for value in values) else tuple(values)

    def _mapping(self, raw: Any, node: inspect.DictType, path: str) -> Any:
        if not isinstance(raw, dict):
            return _UNFIT
        values = {key: self.take(item, node.value_type, join_path(path, key)) for key, item in raw.items()}
        return _WRONG if any(value is _WRONG for value in values.values()) else values

    def _literal(self, raw: Any, node: inspect.LiteralType, path: str) -> Any:
        if any(raw == value and type(raw) is type(value) for value in node.values):
            return raw
        words = [value for value in node.values if isinstance(value, str)]
        if isinstance(raw, str) and words:
            wrong = say("unknown word {word}", word=describe(raw))
            self.problems.add(path, wrong, nearest(raw, words, self.synonyms))
            return _WRONG
        return _UNFIT


def _one_of(words: Iterable[str]) -> str:
    return say("one of {words}", words=", ".join(words))


def _number(raw: Any, node: inspect.IntType | inspect.FloatType) -> Any:
    numeric = isinstance(raw, int | float) and not isinstance(raw, bool)
    if not numeric or (isinstance(node, inspect.IntType) and isinstance(raw, float)):
        return _UNFIT
    if isinstance(raw, float) and not math.isfinite(raw):
        return _UNFIT
    within = (
        (node.gt is None or raw > node.gt)
        and (node.ge is None or raw >= node.ge)
        and (node.lt is None or raw < node.lt)
        and (node.le is None or raw <= node.le)
    )
    if not within or abs(raw) > sys.float_info.max:
        return _UNFIT
    return raw if isinstance(node, inspect.IntType) else float(raw)


def _text(raw: Any, node: inspect.StrType) -> Any:
    within = (
        isinstance(raw, str)
        and (node.min_length is None or len(raw) >= node.min_length)
        and (node.max_length is None or len(raw) <= node.max_length)
        and (node.pattern is None or re.fullmatch(node.pattern, raw) is not None)
    )
    return raw if within else _UNFIT


def _other(raw: Any, node: inspect.Type) -> Any:
    """Booleans, dates, decimals, anything."""
    if not fits(raw, node):
        return _UNFIT
    if not isinstance(node, inspect.DecimalType):
        return raw
    number = Decimal(repr(raw))  # the figure as it was written, not its binary neighbour
    return number if number.is_finite() else _UNFIT


def _to_add(name: str, what: str) -> str:
    """What to do about a key that is missing: a single value that is possible is given as the file has it."""
    if what.isdecimal():
        return say("add {line}", line=f"{name} = {what}")
    return say("add {key}: {what}", key=name, what=what)
