"""Where a mistake of a plan stands, by the names that the page has for it instead of a file's key path."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from coursecheck.equipment import KINDS
from coursecheck.language import say, say_as

__all__ = ["named_place"]

_ROW = re.compile(r"(obstacle|ring\.blocked)\[(\d+)\]\.?(.*)")


def named_place(path: str, tables: Mapping[str, Any]) -> str:
    """What the page calls the place of a key path, such as "j1, x"; the path where the page has no name for it.

    Args:
        path: the key path, such as `obstacle[0].at[0]`.
        tables: the plan; from a page, so anything at all.
    """
    row = _ROW.fullmatch(path)
    if row is None:
        return _label(path, _fields()) or path
    where, number, key = row.groups()
    try:
        if where == "obstacle":
            name, fields = tables["obstacle"][int(number)]["id"], _obstacle_fields()
        else:
            name, fields = tables["ring"]["blocked"][int(number)]["name"], _blocked_fields()
    except (LookupError, TypeError):
        return path
    label = _label(key, fields) or key
    return say("{name}, {field}", name=name, field=label) if label else str(name)


def _label(path: str, labels: Mapping[str, str]) -> str:
    """The label of a path, or of what it is a part of."""
    while path and path not in labels:
        path = path[: max(path.rfind("."), path.rfind("["), 0)]
    return labels.get(path, "")


def _obstacle_fields() -> dict[str, str]:
    sizes = {name: say_as("metric", name) for kind in KINDS.values() for name in kind.sizes}
    return {"id": say("name"), "at[0]": "x", "at[1]": "y", "bearing": say("bearing"), **sizes}


def _blocked_fields() -> dict[str, str]:
    return {
        "name": say("what it is"),
        "outline": say("corners"),
        "centre": say("middle"),
        "radius": say("radius"),
    }


def _fields() -> dict[str, str]:
    ring = {
        "size[0]": say("width"),
        "size[1]": say("depth"),
        "outline": say("corners"),
        "solid": say("sides that are walls"),
    }
    gates = {"entrance": say("entrance"), "exit": say("exit")}
    return {
        "course.title": say("title"),
        "course.rulebook": say("rulebook"),
        "course.discipline": say("discipline"),
        "course.grade": say("grade"),
        "course.heights": say("height classes"),
        "course.speed_mps": say("speed"),
        "sequence.run": say("Order"),
        "sequence.start_line": say("start line before 1"),
        "sequence.finish_line": say("finish line after the last"),
        **{
            f"ring.{key}": say("{name}, {field}", name=say("Ring"), field=label)
            for key, label in (ring | gates).items()
        },
        **{
            f"store.{name}": say("{name}, {field}", name=say("Store"), field=say(kind.title))
            for name, kind in KINDS.items()
        },
    }
