"""Parts of a JSON Schema, by small makers: every object is closed and every key is always there."""

from __future__ import annotations

from typing import Any

__all__ = [
    "COUNT",
    "NUMBER",
    "NUMBER_OR_NOTHING",
    "SHA256",
    "TEXT",
    "TEXT_OR_NOTHING",
    "array",
    "closed",
    "nullable",
    "one_of",
]

TEXT = {"type": "string"}
TEXT_OR_NOTHING = {"type": ["string", "null"]}
NUMBER = {"type": "number"}
NUMBER_OR_NOTHING = {"type": ["number", "null"]}
COUNT = {"type": "integer", "minimum": 0}
SHA256 = {"type": "string", "pattern": "^[0-9a-f]{64}$"}


def closed(**keys: object) -> dict[str, Any]:
    """An object that has these keys, all of them, and no others."""
    return {"type": "object", "properties": keys, "required": sorted(keys), "additionalProperties": False}


def array(items: object, **more: object) -> dict[str, Any]:
    """An array of one kind of items, with further keywords such as minItems."""
    return {"type": "array", "items": items, **more}


def one_of(*words: str) -> dict[str, Any]:
    """One of these words."""
    return {"enum": list(words)}


def nullable(schema: object) -> dict[str, Any]:
    """What a schema allows, or null."""
    return {"anyOf": [schema, {"type": "null"}]}
