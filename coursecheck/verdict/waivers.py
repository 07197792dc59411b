"""The waivers of a plan, `NAME.waivers.toml` beside `NAME.course.toml`, format 1: read and added to."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import Annotated, Any, Literal

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType, field

from coursecheck.course.document import Id
from coursecheck.documents import Document, Problems, convert, parse_toml, read_toml, write_atomic
from coursecheck.documents.comments import commented, say_comments
from coursecheck.documents.toml import BYTE_ORDER_MARK
from coursecheck.errors import WaiverError, WriteError
from coursecheck.language import say
from coursecheck.rulebook.document import Line
from coursecheck.verdict.acceptance import Acceptance

__all__ = ["add_waivers", "read_waivers", "waivers_schema", "with_waivers"]

OPENING = commented("""\
# Findings on the plan beside this file that somebody accepted. A waiver lapses when the value gets worse than
# `measured` or after the day `until`; the check says so. Values are in metres, degrees or counts.
format = 1
""")


class Table(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """A table whose every key is known."""


class WaiverTable(Table, frozen=True, kw_only=True):
    """One accepted finding."""

    limit: Annotated[Line, Meta(description="the limit's id")]
    obstacles: Annotated[list[Id], Meta(max_length=500, description="ids; left out: the course as a whole")] = field(
        default_factory=list
    )
    height: Annotated[Line, Meta(description="left out: every height class")] | UnsetType = UNSET
    measured: (
        Annotated[
            float | str,
            Meta(description="the value that was accepted, in metres, degrees or a count; left out: not measurable"),
        ]
        | UnsetType
    ) = UNSET
    reason: Annotated[Line, Meta(description="why it is accepted")]
    who: Annotated[Line, Meta(description="who accepted it")]
    until: Annotated[datetime.date, Meta(description="the last day it holds")] | UnsetType = UNSET


class WaiversFile(Table, frozen=True, kw_only=True):
    """The waivers of one plan."""

    format: Literal[1]
    waiver: Annotated[list[WaiverTable], Meta(max_length=10_000)] = field(default_factory=list)


def waivers_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a waivers file."""
    schema = msgspec.json.schema(WaiversFile)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Waivers file, format 1", **schema}


def read_waivers(path: str | PathLike[str]) -> tuple[Acceptance, ...]:
    """The waivers of a file, in its order; none where there is no such file.

    Raises:
        WaiverError: with every problem of the file.
    """
    return _waivers(read_toml(path, WaiverError)) if Path(path).exists() else ()


def _waivers(document: Document) -> tuple[Acceptance, ...]:
    problems = Problems(document)
    taken = convert(document.raw, WaiversFile, problems)
    first: dict[tuple[object, ...], int] = {}
    waivers = []
    for place in taken.places("waiver"):
        table = taken.at(place, WaiverTable)
        if table is None:
            continue
        line = document.lines.get(place, 0)
        waiver = _acceptance(table, f"{document.name}:{line}")
        key = _key(waiver)
        if key in first:
            wrong = say("the same finding as on line {line}", line=first[key])
            problems.add(place, wrong, say("leave one of them out"))
        first.setdefault(key, line)
        waivers.append(waiver)
    problems.raise_any(WaiverError)
    return tuple(waivers)


def _acceptance(table: WaiverTable, place: str) -> Acceptance:
    return Acceptance(
        limit=table.limit,
        obstacles=tuple(sorted(set(table.obstacles))),
        height=None if isinstance(table.height, UnsetType) else table.height,
        measured=None if isinstance(table.measured, UnsetType) else table.measured,
        who=table.who,
        reason=table.reason,
        until=None if isinstance(table.until, UnsetType) else table.until,
        place=place,
    )


def _key(waiver: Acceptance) -> tuple[object, ...]:
    return waiver.limit, waiver.obstacles, waiver.height


def add_waivers(path: str | PathLike[str], waivers: Sequence[Acceptance]) -> None:
    """Adds waivers to a file, whole or not at all; one of the same finding is replaced.

    Raises:
        WaiverError: the file that is there is none of waivers, or the new ones would not make one.
        WriteError: it cannot be written.
    """
    original = read_toml(path, WaiverError).text if Path(path).exists() else None
    write_atomic(path, with_waivers(original, waivers, str(path)).encode())


def with_waivers(original: str | None, waivers: Sequence[Acceptance], name: str = "") -> str:
    """The text of a waivers file with waivers added; comments, order, line ends and everything else are kept.

    Args:
        original: the file as it stands, or None for a new one.
        waivers: one for each finding.
        name: stands for the file in messages; "the waivers file" where it has none.

    Raises:
        WaiverError: the original is no waivers file, or the new waivers would not make one.
        WriteError: they cannot be put into the file as it stands.
    """
    name = name or say("the waivers file")
    before = _waivers(parse_toml(original, name, WaiverError)) if original is not None else ()
    bare = (original or say_comments(OPENING)).removeprefix(BYTE_ORDER_MARK)
    text = _replaced(bare.replace("\r\n", "\n"), before, waivers)
    present = {_key(waiver) for waiver in before}
    for waiver in waivers:
        if _key(waiver) not in present:
            text = f"{text.rstrip()}\n\n{_block(waiver)}"
    text = text.replace("\n", "\r\n") if "\r\n" in bare else text
    text = BYTE_ORDER_MARK + text if original is not None and original.startswith(BYTE_ORDER_MARK) else text
    wanted = {_key(waiver): waiver for waiver in (*before, *waivers)}
    if _waivers(parse_toml(text, name, WaiverError)) != tuple(wanted.values()):
        wrong = say("{file}: the waiver cannot be put into the file as it stands; write it by hand", file=name)
        raise WriteError(wrong)
    return text


def _replaced(text: str, before: Sequence[Acceptance], waivers: Sequence[Acceptance]) -> str:
    """The text with new values for those waivers that it has already."""
    places = {_key(waiver): i for i, waiver in enumerate(before)}
    known = {places[_key(waiver)]: waiver for waiver in waivers if _key(waiver) in places}
    if not known:
        return text
    import tomlkit

    document = tomlkit.parse(text)
    tables: Any = document["waiver"]
    for i, waiver in known.items():
        values = _values(replace(waiver, place=""))
        for key in ("measured", "reason", "who", "until"):
            if key in values:
                tables[i][key] = values[key]
            elif key in tables[i]:
                del tables[i][key]
    return tomlkit.dumps(document)


def _values(waiver: Acceptance) -> dict[str, Any]:
    """The keys of a waiver's table, without those that are left out."""
    values = {
        "limit": waiver.limit,
        "obstacles": list(waiver.obstacles) or None,
        "height": waiver.height,
        "measured": waiver.measured,
        "reason": waiver.reason,
        "who": waiver.who,
        "until": waiver.until,
    }
    return {key: value for key, value in values.items() if value is not None}


def _block(waiver: Acceptance) -> str:
    import tomlkit

    lines = [f"{key} = {tomlkit.item(value).as_string()}" for key, value in _values(waiver).items()]
    return "\n".join(["[[waiver]]", *lines, ""])
