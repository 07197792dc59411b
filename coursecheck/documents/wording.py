"""What was found and what is wanted, in words of the file instead of types."""

from __future__ import annotations

import datetime
from typing import Any

from msgspec import inspect

from coursecheck.language import both, either, say, to_say

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
    inspect.BoolType: to_say("true or false"),
    inspect.DateType: to_say("a date such as 2026-01-31"),
    inspect.DateTimeType: to_say("a date and time"),
    inspect.TimeType: to_say("a time of day"),
    inspect.DecimalType: to_say("a number"),
    inspect.StructType: to_say("a table"),
    inspect.DictType: to_say("a table"),
    inspect.AnyType: to_say("anything"),
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
        return say("a table")
    if isinstance(raw, list):
        return say("a list of {count}", count=len(raw))
    if isinstance(raw, str):
        text = raw if raw.isprintable() else ascii(raw)[1:-1]
        return f'"{text[:_LONGEST]}…"' if len(text) > _LONGEST else f'"{text}"'
    if isinstance(raw, int) and abs(raw) >= 10**_LONGEST:
        return say("a number of more than 40 digits")
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
    words = say(title) if title else _wanted(node)
    return f"{words} ({say(about)})" if about else words


def _wanted(node: inspect.Type) -> str:
    match node:
        case inspect.IntType():
            return _bounded(say("a whole number"), node)
        case inspect.FloatType():
            return _bounded(say("a number"), node)
        case inspect.StrType():
            return _text(node)
        case inspect.LiteralType():
            words = [f'"{value}"' if isinstance(value, str) else str(value) for value in node.values]
            return words[0] if len(words) == 1 else say("one of {words}", words=", ".join(words))
        case inspect.ListType():
            return _list(node)
        case inspect.TupleType():
            return f"[{', '.join(wanted(item) for item in node.item_types)}]"
        case inspect.UnionType():
            return either(list(dict.fromkeys(wanted(choice) for choice in node.types)))
    return say(_PLAIN_WORDS.get(type(node), to_say("something else")))


def _figure(number: float) -> str:
    return str(int(number)) if float(number).is_integer() and abs(number) < 1e15 else repr(number)


def _bounded(noun: str, node: inspect.IntType | inspect.FloatType) -> str:
    if node.ge is not None and node.le is not None:
        return say("{noun} from {low} to {high}", noun=noun, low=_figure(node.ge), high=_figure(node.le))
    bounds = []
    if node.gt is not None:
        bounds.append(say("above {bound}", bound=_figure(node.gt)))
    elif node.ge is not None:
        bounds.append(say("of {bound} or more", bound=_figure(node.ge)))
    if node.lt is not None:
        bounds.append(say("below {bound}", bound=_figure(node.lt)))
    elif node.le is not None:
        bounds.append(say("of {bound} or less", bound=_figure(node.le)))
    return f"{noun} {both(bounds)}" if bounds else noun


def _text(node: inspect.StrType) -> str:
    if node.max_length is not None:
        return say('"text" of at most {count} characters', count=node.max_length)
    return say('"text"') if not node.min_length else say('"text" that is not empty')


def _list(node: inspect.ListType) -> str:
    words = [say("a list [...] of {item}", item=wanted(node.item_type))]
    if node.min_length:
        words.append(say("at least {count}", count=node.min_length))
    if node.max_length is not None:
        words.append(say("at most {count}", count=node.max_length))
    return ", ".join(words)
