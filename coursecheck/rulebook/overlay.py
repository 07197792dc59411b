"""A file to start a club's own rulebook from: it loads as it is and shows what may be changed."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator, Mapping

from coursecheck.documents.comments import WIDTH, commented, say_comments
from coursecheck.language import either, say
from coursecheck.rulebook.model import Limit, Rulebook
from coursecheck.rulebook.vocabulary import MeasureWords
from coursecheck.units import FOOT_M

__all__ = ["overlay_text"]


def overlay_text(base: Rulebook, measures: Mapping[str, MeasureWords], *, extends: str, name: str, title: str) -> str:
    """The text of an overlay that changes nothing yet, with examples to uncomment and the limits of the base.

    Args:
        base: the rulebook that it goes on top of; the file is in its units.
        measures: the measures there are.
        extends: how the file names that one.
        name: the id of the new rulebook: small letters, digits and hyphens.
        title: its title.
    """
    in_feet = base.units == "ft"
    committee = _quoted(say("our committee"))
    head = say_comments(
        _HEAD,
        name=_quoted(name),
        title=_quoted(title),
        extends=_quoted(extends),
        base=say(base.title),
        units=say_comments(_FEET) if in_feet else "",
        source=_quoted(say("who decided this, and when")),
    )
    own = say_comments(_OWN, about=_quoted(say("What the limit is for, in one sentence.")), source=committee)
    size = say_comments(_SIZE, value="13.0" if in_feet else "4.0", source=_quoted(say("our store")))
    return "\n".join((head, _override(_example(base), base, measures, committee), own, size, _index(base, measures)))


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


_FEET = commented('units = "ft"                     # of every length in this file\n')

_HEAD = commented("""\
# Our own rules, on top of: {base}.
# Every row of that rulebook holds; what stands here goes before it. Lines that begin with # are comments: take the #
# away from an example to make it count. Then: coursecheck rulebooks lint THIS-FILE
format = 1

[rulebook]
id = {name}
title = {title}
edition = "1"
extends = {extends}
{units}source = {source}
""")

_OVERRIDE = commented("""\
# --- Another figure for a limit that is there already: the same id, and the reason why. ---
# It holds for those that `where` names and leaves everybody else as they were; without `where` it holds for all.
# A limit cannot be taken away, but it can be made a note.
# basis: text, summary, practice or memory (see README.md beside the shipped rulebooks).

#[[limit]]
#id = {name}
{where}{bound}
#severity = {severity}            # must: not legal otherwise; should: advice; note: worth a look
#basis = "practice"
#source = {source}
#reason = {reason}
""")

_OWN = commented("""\
# --- A limit of our own: a new id, and what it is for. ---

#[[limit]]
#id = "our-tunnels-max"
#about = {about}
#measure = "obstacles"
#metric = "all"
#of = ["tunnel"]
#max = 2
#severity = "should"
#basis = "practice"
#source = {source}
""")

_SIZE = commented("""\
# --- A size that holds where a course file gives none. ---

#[[equipment]]
#kind = "tunnel"
#size = "length"
#value = {value}
#basis = "practice"
#source = {source}
""")


_LIMITS = commented(
    "# --- The limits that are there, with their bounds; `coursecheck explain LIMIT` tells all about one. ---"
)


def _example(base: Rulebook) -> Limit | None:
    """A limit to show how one is changed: of the distances between obstacles, or else the first there is."""
    lengths = (row for row in base.limits if row.measure == "leg-distance" and row.max is not None)
    return next(lengths, next(iter(base.limits), None))


def _override(row: Limit | None, base: Rulebook, measures: Mapping[str, MeasureWords], source: str) -> str:
    if row is None:
        return ""
    where = {"height": [list(base.heights)[-1]], **{facet: list(words) for facet, words in row.where.items()}}
    chosen = ", ".join(f"{facet} = {json.dumps(words)}" for facet, words in where.items())
    bound = "\n".join(f"#{line}" for line in _bounds(row, base.units, measures))
    return say_comments(
        _OVERRIDE,
        name=_quoted(row.id),
        where=f"#where = {{ {chosen} }}\n",
        bound=bound,
        severity=_quoted(row.severity),
        source=source,
        reason=_quoted(say("why we do it differently")),
    )


def _bounds(row: Limit, units: str, measures: Mapping[str, MeasureWords]) -> Iterator[str]:
    """The bound of a row as TOML, in the units of the file."""
    unit = measures[row.measure].unit_of(row.metric)
    foot_m = FOOT_M ** {"m": 1, "m2": 2}.get(unit, 0) if units == "ft" else 1.0
    for key, value in (("min", row.min), ("max", row.max), ("equals", row.equals)):
        if value is not None:
            yield f"{key} = {value / foot_m:.6g}"
    for key, kinds in (("required", row.required), ("forbidden", row.forbidden)):
        if kinds:
            yield f"{key} = {json.dumps(list(kinds))}"


def _index(base: Rulebook, measures: Mapping[str, MeasureWords]) -> str:
    lines = [say_comments(_LIMITS), "#"]
    for name in dict.fromkeys(row.id for row in base.limits):
        rows = [row for row in base.limits if row.id == name]
        said = "; ".join(dict.fromkeys(_row_words(row, base.units, measures) for row in rows))
        lines += textwrap.wrap(f"{name}: {said}", WIDTH, initial_indent="# ", subsequent_indent="#     ")
    return "\n".join(lines) + "\n"


def _row_words(row: Limit, units: str, measures: Mapping[str, MeasureWords]) -> str:
    where = ", ".join(f"{facet} {either(words)}" for facet, words in row.where.items())
    return " ".join((*_bounds(row, units, measures), f"({where})" if where else "")).strip()
