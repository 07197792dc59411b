"""What the page sends, taken apart, and what it is told of errors."""

from __future__ import annotations

import json
from typing import Any

from coursecheck.errors import DocumentError
from coursecheck.language import labelled

__all__ = ["MalformedError", "object_in", "tables_in", "told_of"]


class MalformedError(Exception):
    """A request that is not what the page sends."""


def object_in(data: bytes | str) -> dict[str, Any]:
    """The object that a body holds. Raises MalformedError when it holds none."""

    def refuse(word: str) -> float:
        raise ValueError(word)

    try:
        body = json.loads(data, parse_constant=refuse)
    except (ValueError, RecursionError) as error:
        raise MalformedError("that is no JSON") from error
    if not isinstance(body, dict):
        raise MalformedError("send an object")
    return body


def tables_in(body: dict[str, Any]) -> dict[str, Any]:
    """The plan in a body. Raises MalformedError when there is none."""
    plan = body.get("plan")
    if not isinstance(plan, dict):
        raise MalformedError("there is no plan in it")
    return plan


def told_of(error: Exception) -> dict[str, Any]:
    """What the page is told of an error; of a document with all of its problems."""
    if not isinstance(error, DocumentError):
        return {"error": str(error)}
    problems = [{"path": p.path, "wrong": p.wrong, "right": p.right} for p in error.problems]
    return {
        "error": "; ".join(dict.fromkeys(labelled(p.path, p.words) if p.path else p.words for p in error.problems)),
        "problems": problems,
    }
