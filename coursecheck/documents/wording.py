"""What was found and what is wanted, in words of the file instead of types."""

from __future__ import annotations

import datetime
from typing import Any

from msgspec import inspect

__all__ = ["bare", "describe", "fits", "wanted"]

_LONGEST = 40

_FITTING: tuple[tuple[type, tuple[type, ...]], ...] = (
    # the more special types first: True is an int, and a date with a time is a date
    (bool, (inspect.BoolType,)),
    (str, (inspect.StrType,)),
    (int, (inspect.IntType, inspect.FloatType, inspect.DecimalType)),
    (float, (inspect.FloatType, inspect.DecimalType)),
    (dict, (inspect.StructType, inspect.DictType)),
    (list, (inspect.ListType, inspect.TupleType)),
    (datetime.datetime, (inspect.DateTimeType,)),
    (datetime.date, (inspect.DateType,)),
    (datetime.time, (inspect.TimeType,)),
)

_PLAIN_WORDS: dict[type, str] = {
    inspect.BoolType: "true or false",
    inspect.DateType: "a date such as 2026-01-31",
    inspect.DateTimeType: "a date and time",
    inspect.TimeType: "a time of day",
    inspect.DecimalType: "a number",
    inspect.StructType: "a table",
    inspect.DictType: "a table",
    inspect.AnyType: "anything",
}


def bare(node: inspect.Type) -> inspect.Type:
    """A type without what is only said about it."""
    while isinstance(node, inspect.Metadata):
        node = node.type
    return node


def fits(raw: Any, node: inspect.Type) -> bool:
    """Whether a raw value is of the sort that a type asks for, whatever its bounds."""
    node = bare(node)
    if isinstance(node, inspect.AnyType):
        return True
    if isinstance(node, inspect.LiteralType):
        return any(type(raw) is type(value) for value in node.values)
    return next((isinstance(node, types) for sort, types in _FITTING if isinstance(raw, sort)), False)


def describe(raw: Any) -> str:
    """A raw value in a few words, on one line."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, list):
        return f"a list of {len(raw)}"
    if isinstance(raw, str):
        text = raw if raw.isprintable() else ascii(raw)[1:-1]
        return f'"{text[:_LONGEST]}…"' if len(text) > _LONGEST else f'"{text}"'
    if isinstance(raw, int) and abs(raw) >= 10**_LONGEST:
        return "a number of more than 40 digits"
    return _figure(raw) if isinstance(raw, float) else str(raw)


def wanted(node: inspect.Type) -> str:
    """What a type asks for, in a few words.

    The title of a type stands in for the words that follow from it, its description is added to them.
    """
    title = about = ""
    while isinstance(node, inspect.Metadata):
        said = node.extra_json_schema or {}
        title, about = title or said.get("title", ""), about or said.get("description", "")
        node = node.type
    words = title or _wanted(node)
    return f"{words} ({about})" if about else words


def _wanted(node: inspect.Type) -> str:
    match node:
        case inspect.IntType():
            return _bounded("a whole number", node)
        case inspect.FloatType():
            return _bounded("a number", node)
        case inspect.StrType():
            return _text(node)
        case inspect.LiteralType():
            words = [f'"{value}"' if isinstance(value, str) else str(value) for value in node.values]
            return words[0] if len(words) == 1 else f"one of {', '.join(words)}"
        case inspect.ListType():
            return _list(node)
        case inspect.TupleType():
            return f"[{', '.join(wanted(item) for item in node.item_types)}]"
        case inspect.UnionType():
            return " or ".join(dict.fromkeys(wanted(choice) for choice in node.types))
    return _PLAIN_WORDS.get(type(node), "something else")


def _figure(number: float) -> str:
    return str(int(number)) if float(number).is_integer() and abs(number) < 1e15 else repr(number)


def _bounded(noun: str, node: inspect.IntType | inspect.FloatType) -> str:
    if node.ge is not None and node.le is not None:
        return f"{noun} from {_figure(node.ge)} to {_figure(node.le)}"
    low = (
        f" above {_figure(node.gt)}"
        if node.gt is not None
        else f" of {_figure(node.ge)} or more"
        if node.ge is not None
        else ""
    )
    high = (
        f" below {_figure(node.lt)}"
        if node.lt is not None
        else f" of {_figure(node.le)} or less"
        if node.le is not None
        else ""
    )
    return noun + low + (" and" if low and high else "") + high


def _text(node: inspect.StrType) -> str:
    if node.max_length is not None:
        return f'"text" of at most {node.max_length} characters'
    return '"text"' if not node.min_length else '"text" that is not empty'


def _list(node: inspect.ListType) -> str:
    words = f"a list [...] of {wanted(node.item_type)}"
    if node.min_length:
        words += f", at least {node.min_length}"
    if node.max_length is not None:
        words += f", at most {node.max_length}"
    return words
