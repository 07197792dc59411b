"""Putting what changed into a course file, and leaving the rest of its text alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any

import tomlkit
from tomlkit.items import AoT, Array, Comment, Null, Table, Whitespace

from coursecheck.course.plain import RING_LISTS, spell_value, table_text

__all__ = ["merge_text"]

Body = list[tuple[Any, Any]]
_ABSENT = object()
_SHAPE = ("size", "outline", "solid")


def merge_text(text: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> str:
    """The text of a course file with what differs between two states of it put in.

    Args:
        text: the file, which stands for `before`; lines end with a newline alone.
        before: its tables as they were.
        after: its tables as they shall be.
    """
    document = tomlkit.parse(text if text.endswith("\n") else text + "\n")
    pending: list[tuple[Body, int]] = []
    _claim_leads(document.body, pending)
    tail = _lift(pending)
    for name in ("course", "sequence", "store"):
        _merge_value(document, name, before, after, f"[{name}]")
    tail = _merge_ring(document, before["ring"], after["ring"]) + tail
    tail = _merge_list(document, "obstacle", before, after, "[[obstacle]]", lambda _, table: table["id"]) + tail
    return document.as_string() + tail


def _claim_leads(body: Body, pending: list[tuple[Body, int]]) -> None:
    """Gives each header the comments and blank lines above it, which tomlkit counts to the table before."""
    for i, (key, item) in enumerate(body):
        if isinstance(item, Whitespace | Comment):
            pending.append((body, i))
        elif isinstance(item, AoT):
            for table in item.body:
                _claim(table, pending)
        elif isinstance(item, Table) and not key.is_dotted():
            _claim(item, pending)
        elif not isinstance(item, Null):
            pending.clear()


def _claim(table: Table, pending: list[tuple[Body, int]]) -> None:
    if not table.is_super_table():  # one that has no header of its own
        table.trivia.indent = _lift(pending) + table.trivia.indent
    _claim_leads(table.value.body, pending)


def _lift(pending: list[tuple[Body, int]]) -> str:
    """Takes comments and blank lines out of where they stand; their text."""
    text = "".join(body[i][1].as_string() for body, i in pending)
    for body, i in pending:
        body[i] = (None, Null())
    pending.clear()
    return text


def _merge_value(
    container: Any, key: str, before: Mapping[str, Any], after: Mapping[str, Any], header: str = ""
) -> None:
    """Puts one key in, or takes it out, where it differs.

    Args:
        container: the table or document that has the key.
        key: the key.
        before: the tables as they were, with the key or not.
        after: the tables as they shall be.
        header: under which header a table goes that is new; by default it stands inline.
    """
    old, new = before.get(key, _ABSENT), after.get(key, _ABSENT)
    if old == new:
        return
    if new is _ABSENT:
        container.pop(key, None)
        return
    there = container.get(key)
    if isinstance(new, Mapping) and isinstance(old, Mapping) and isinstance(there, Mapping):
        for inner in dict.fromkeys([*old, *new]):
            _merge_value(there, inner, old, new)
    elif isinstance(new, Mapping) and there is None and header:
        table = tomlkit.parse(table_text(header, new))[key]
        table.trivia.indent = "\n"
        container[key] = table
    elif isinstance(there, Array) and isinstance(old, list) and isinstance(new, list):
        _merge_array(there, old, new)
    else:
        _put(container, key, new)


def _put(container: Any, key: str, value: Any) -> None:
    is_new = key not in container
    item = tomlkit.value(spell_value(value))
    container[key] = item
    if is_new and isinstance(container, Table):
        item.trivia.indent = ""  # tomlkit indents it by the spaces that it finds in the comments above the header


def _merge_array(array: Array, old: list[Any], new: list[Any]) -> None:
    """Edits a list in place, from its end, so that comments between its items stay."""
    edits = SequenceMatcher(None, [repr(item) for item in old], [repr(item) for item in new], autojunk=False)
    for _, old_start, old_end, new_start, new_end in reversed(edits.get_opcodes()):
        items = new[new_start:new_end]
        if items == old[old_start:old_end]:
            continue
        replaced = min(old_end - old_start, len(items))
        for i in range(old_end - 1, old_start + replaced - 1, -1):
            del array[i]
        for i in range(len(items)):
            value = tomlkit.value(spell_value(items[i]))
            if i < replaced:
                array[old_start + i] = value
            else:
                array.insert(old_start + i, value)


def _merge_ring(document: Any, before: Mapping[str, Any], after: Mapping[str, Any]) -> str:
    """The ring; the comments of places and neighbours that are gone, where no other follows."""
    # An outline may go clockwise in the file, with other indices than the model: corners and sides change together.
    shape_changed = any(before.get(key) != after.get(key) for key in _SHAPE) and "outline" in {*before, *after}
    ring = document["ring"]
    for key in dict.fromkeys([*before, *after]):
        if key not in RING_LISTS and not (shape_changed and key in _SHAPE):
            _merge_value(ring, key, before, after)
    if shape_changed:
        for key in _SHAPE:
            if key in after:
                _put(ring, key, after[key])
            else:
                ring.pop(key, None)
    tails = [_merge_list(ring, key, before, after, f"[[ring.{key}]]", lambda i, _: str(i)) for key in RING_LISTS]
    return "".join(tails)


def _merge_list(
    container: Any,
    key: str,
    before: Mapping[str, Any],
    after: Mapping[str, Any],
    header: str,
    name_of: Callable[[int, Mapping[str, Any]], str],
) -> str:
    """A list of tables, matched by name; the comments of those that are gone, where no other follows."""
    old_tables, new_tables = before.get(key, []), after.get(key, [])
    if old_tables == new_tables:
        return ""
    there = container.get(key)
    if not new_tables:
        container.pop(key, None)
    elif there is None:
        container[key] = _parsed(header, new_tables)
    elif isinstance(there, AoT):
        return _merge_tables(there, old_tables, new_tables, header, name_of)
    else:
        _put(container, key, new_tables)
    return ""


def _merge_tables(
    tables: AoT,
    old_tables: Sequence[Mapping[str, Any]],
    new_tables: Sequence[Mapping[str, Any]],
    header: str,
    name_of: Callable[[int, Mapping[str, Any]], str],
) -> str:
    """Edits the tables that stay, drops those that are gone, adds new ones, all in the new order."""
    names = {name_of(i, table): i for i, table in enumerate(old_tables)}
    kept = {name_of(i, table) for i, table in enumerate(new_tables)}
    orphaned = _pass_on_comments(tables, [name in kept for name in names])
    ordered = []
    for i, new in enumerate(new_tables):
        place = names.get(name_of(i, new))
        if place is None:
            ordered.append(_parsed(header, [new])[0])
            continue
        table, old = tables[place], old_tables[place]
        for key in dict.fromkeys([*old, *new]):
            _merge_value(table, key, old, new)
        ordered.append(table)
    while len(tables):
        del tables[-1]
    for table in ordered:
        tables.append(table)
    return orphaned


def _pass_on_comments(tables: AoT, kept: Sequence[bool]) -> str:
    """Hands comments that stand apart from a table that goes to the next one that stays; those that find none.

    Comments right above the header of a table belong to it and go with it.
    """
    apart = ""
    for table, stays in zip(tables.body, kept, strict=True):
        lead = apart + table.trivia.indent
        if stays:
            table.trivia.indent, apart = lead, ""
        else:
            above, blank, _ = lead.rpartition("\n\n")
            apart = above + "\n" if blank else ""
    return apart


def _parsed(header: str, tables: Sequence[Mapping[str, Any]]) -> AoT:
    """New tables, each with a blank line above it."""
    item: Any = tomlkit.parse("".join(table_text(header, table) for table in tables))
    for part in header.strip("[]").split("."):
        item = item[part]
    new: AoT = item
    for table in new.body:
        table.trivia.indent = "\n"
    return new
