"""The baseline of a judge's old courses: what was found once and is accepted as long as it gets no worse.

One JSON file for many plans, format 1, written and read by the program; each entry names its plan by the path from
the baseline's own folder, so that both can be moved together.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from coursecheck.documents import Document, Problems, convert
from coursecheck.documents.causes import cause_words
from coursecheck.errors import Problem, WaiverError
from coursecheck.language import say
from coursecheck.verdict.acceptance import BASELINE_REASON, Acceptance

__all__ = ["Baseline", "baseline_text", "read_baseline"]


class Entry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One finding of an older run; of every height class, or not measurable, where that key is left out."""

    file: str
    limit: str
    obstacles: list[str]
    height: str | UnsetType = UNSET
    measured: float | str | UnsetType = UNSET


class BaselineFile(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """All findings of an older run that counted against their plans."""

    format: Literal[1]
    findings: Annotated[list[Entry], Meta(max_length=1_000_000)]


@dataclass(frozen=True, slots=True)
class Baseline:
    """What was found once.

    Attributes:
        name: the file as the user named it.
        entries: by the plan's path from the folder of the baseline.
    """

    name: str
    entries: Mapping[str, tuple[Acceptance, ...]]

    def of(self, course_file: str) -> tuple[Acceptance, ...]:
        """The entries of a plan."""
        return self.entries.get(_key(course_file, self.name), ())


def _key(course_file: str, baseline: str) -> str:
    return Path(os.path.relpath(course_file, Path(baseline).parent)).as_posix()


def read_baseline(name: str) -> Baseline:
    """Reads a baseline.

    Raises:
        WaiverError: with every problem of the file.
    """
    try:
        data = Path(name).read_bytes()
        raw: Any = json.loads(data)
    except OSError as error:
        wrong = say("cannot be read: {cause}", cause=cause_words(error))
        raise WaiverError([Problem(name, 0, "", wrong)]) from error
    except json.JSONDecodeError as error:
        wrong, right = say("not JSON in column {column}", column=error.colno), say("write it with --write-baseline")
        raise WaiverError([Problem(name, error.lineno, "", wrong, right)]) from error
    except (ValueError, RecursionError) as error:
        raise WaiverError([Problem(name, 0, "", say("not JSON"), say("write it with --write-baseline"))]) from error
    if not isinstance(raw, dict):
        right = say("write it with --write-baseline")
        raise WaiverError([Problem(name, 0, "", say("is no baseline"), right)])
    problems = Problems(Document(name, "", hashlib.sha256(data).hexdigest(), raw, {}))
    file = convert(raw, BaselineFile, problems).value
    problems.raise_any(WaiverError)
    entries: dict[str, list[Acceptance]] = {}
    for entry in file.findings if file else ():
        accepted = Acceptance(
            limit=entry.limit,
            obstacles=tuple(sorted(set(entry.obstacles))),
            height=None if isinstance(entry.height, UnsetType) else entry.height,
            measured=None if isinstance(entry.measured, UnsetType) else entry.measured,
            who=say("baseline {name}", name=name),
            reason=BASELINE_REASON,
        )
        entries.setdefault(entry.file, []).append(accepted)
    return Baseline(name, {file: tuple(accepted) for file, accepted in entries.items()})


def baseline_text(name: str, plans: Iterable[tuple[str, Sequence[Acceptance]]]) -> str:
    """The text of a baseline, sorted.

    Args:
        name: the file that it will be written to.
        plans: each plan's file and what is broken in it.
    """
    entries = [
        {
            "file": _key(file, name),
            "limit": accepted.limit,
            "obstacles": list(accepted.obstacles),
            **({"height": accepted.height} if accepted.height is not None else {}),
            **({"measured": accepted.measured} if accepted.measured is not None else {}),
        }
        for file, broken in plans
        for accepted in broken
    ]
    return json.dumps({"format": 1, "findings": sorted(entries, key=json.dumps)}, indent=2, sort_keys=True) + "\n"
