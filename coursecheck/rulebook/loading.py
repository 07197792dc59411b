"""Reading a rulebook with the files that it extends: the rows of its bases first, then its own."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from msgspec import UNSET

from coursecheck.course.kinds import KindWords
from coursecheck.documents import Document, Problems, Taken, convert, nearest, read_toml
from coursecheck.documents.lines import join_path
from coursecheck.errors import Problem, RulebookError, UsageError
from coursecheck.language import say
from coursecheck.path.line import LengthRule
from coursecheck.path.runner import Runner
from coursecheck.path.speed import Pace
from coursecheck.rulebook.document import (
    HeightTable,
    LengthTable,
    PaceTable,
    RulebookFile,
    RulebookTable,
    RunnerTable,
)
from coursecheck.rulebook.layer import Layer, part, tables
from coursecheck.rulebook.limit_rows import limits_of, sizes_of
from coursecheck.rulebook.model import EquipmentSize, Height, Limit, Rulebook, TimeRule
from coursecheck.rulebook.time_rows import times_of
from coursecheck.rulebook.vocabulary import MeasureWords, Vocabulary
from coursecheck.rulebook.withers import withers_range

__all__ = ["SETTING_OUT_M", "read_rulebook"]

SETTING_OUT_M = 0.05
"""Standard deviation of a coordinate set out by tape, where no rulebook says; common practice, no source."""


def read_rulebook(
    name_or_path: str,
    *,
    folder: Path,
    beside: Path | None,
    measures: Mapping[str, MeasureWords],
    kinds: Mapping[str, KindWords],
) -> Rulebook:
    """Reads a rulebook.

    Args:
        name_or_path: the name of a shipped rulebook, or a path: relative to `beside`, or, where there is no such
            file, as it is given. What ends in .toml or has a / in it is a path.
        folder: where the shipped rulebooks lie.
        beside: the folder of the course file that names it.
        measures: the measures there are, by name.
        kinds: the kinds of obstacle there are, by name.

    Raises:
        UsageError: no rulebook of that name ships.
        RulebookError: with every problem of the file and of those that it extends.
    """
    chain = _chain(_find(name_or_path, folder, beside), folder)
    stack = _Stack(measures, kinds)
    for document in chain:
        stack.add(document)
    return stack.finish()


def _is_path(name: str) -> bool:
    return name.endswith(".toml") or "/" in name or "\\" in name


def _shipped(folder: Path) -> list[str]:
    return sorted(path.stem for path in folder.glob("*.toml"))


def _find(name: str, folder: Path, beside: Path | None) -> Path:
    """The file that a name or a path stands for."""
    if _is_path(name):
        near = (beside or Path()) / name
        return near if near.exists() else Path(name)
    names = _shipped(folder)
    if name not in names:
        hint = nearest(name, names)
        raise UsageError(
            say('no rulebook "{name}" ships; {hint}, or a path that ends in .toml', name=name, hint=hint)
        )
    return folder / f"{name}.toml"


def _chain(path: Path, folder: Path) -> list[Document]:
    """The documents, the one that extends nothing first.

    Raises:
        RulebookError: a file cannot be read, a base does not exist, or a file extends itself.
    """
    chain: list[Document] = []
    seen: list[Path] = []
    while True:
        document = read_toml(path, RulebookError)
        if path.parent == folder:
            document = replace(document, name=f"{folder.name}/{path.name}")
        chain.insert(0, document)
        seen.append(path.resolve())
        table = document.raw.get("rulebook")
        base = table.get("extends") if isinstance(table, dict) else None
        if not isinstance(base, str):
            return chain
        problems = Problems(document)
        try:
            path = _find(base, folder, path.parent)
        except UsageError as error:
            problems.add("rulebook.extends", str(error))
        if path.resolve() in seen and not problems:
            names = " > ".join(place.stem for place in (*seen, path.resolve()))
            wrong = say("extends itself: {names}", names=names)
            problems.add("rulebook.extends", wrong, say("leave one of them out"))
        problems.raise_any(RulebookError)


@dataclass(slots=True)
class _Stack:
    """What the files say together, the bases first. `known` are all height classes so far, `heights` those in use."""

    measures: Mapping[str, MeasureWords]
    kinds: Mapping[str, KindWords]
    problems: list[Problem] = field(default_factory=list)
    documents: list[Document] = field(default_factory=list)
    head: RulebookTable | None = None
    coverage: str = "partial"
    missing: tuple[str, ...] = ()
    setting_out_m: float = SETTING_OUT_M
    disciplines: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    heights: Mapping[str, Height] = field(default_factory=dict)
    known: Mapping[str, Height] = field(default_factory=dict)
    length: LengthRule = field(default_factory=LengthRule)
    limits: list[Limit] = field(default_factory=list)
    sizes: list[EquipmentSize] = field(default_factory=list)
    times: list[TimeRule] = field(default_factory=list)

    def add(self, document: Document) -> None:
        """Puts a file on top of what there is."""
        problems = Problems(document)
        taken = convert(document.raw, RulebookFile, problems)
        self.documents.append(document)
        self._add_head(taken, problems)
        self.disciplines = _disciplines(document, taken) or self.disciplines
        heights = _heights(document, taken, self.known, problems)
        self.heights, self.known = heights or self.heights, {**self.known, **heights}
        length = taken.at("length", LengthTable)
        self.length = LengthRule(length.how, length.start, length.end) if length else self.length
        layer = Layer(
            document=document,
            taken=taken,
            problems=problems,
            words=Vocabulary(self.measures, self.kinds, self.disciplines, tuple(self.heights)),
            rulebook=self.head.id if self.head else document.name,
            units=self.head.units if self.head else "m",
            rate_unit=self.head.rate_unit if self.head else "m/s",
        )
        self.limits += limits_of(layer, self.limits)
        self.sizes += sizes_of(layer)
        self.times += times_of(layer)
        self.problems += problems.found

    def _add_head(self, taken: Taken[RulebookFile], problems: Problems) -> None:
        self.head = head = part(taken, "rulebook", RulebookTable)
        if head is None:
            return
        if head.valid_from is not UNSET and head.valid_to is not UNSET and head.valid_from > head.valid_to:
            wrong = say("valid_to {last} is before valid_from {first}", last=head.valid_to, first=head.valid_from)
            problems.add("rulebook.valid_to", wrong)
        self.coverage = self.coverage if head.coverage is UNSET else head.coverage
        self.missing = self.missing if head.missing is UNSET else tuple(head.missing)
        self.setting_out_m = self.setting_out_m if head.setting_out_m is UNSET else head.setting_out_m

    def finish(self) -> Rulebook:
        """The rulebook, or all problems of all files."""
        head, last = self.head, Problems(self.documents[-1])
        if not any("disciplines" in document.raw for document in self.documents):
            right = say('list at least one with its grades, such as agility = ["1", "2"]')
            last.add("disciplines", say("missing"), right)
        if not any("height" in document.raw for document in self.documents):
            last.add("height", say("missing"), say("add at least one [[height]] with its [height.runner]"))
        found = [*self.problems, *last.found]
        if found or head is None:
            raise RulebookError(found)
        return Rulebook(
            id=head.id,
            title=head.title,
            edition=head.edition,
            valid_from=None if head.valid_from is UNSET else head.valid_from,
            valid_to=None if head.valid_to is UNSET else head.valid_to,
            coverage="full" if self.coverage == "full" else "partial",
            missing=self.missing,
            source=head.source,
            disciplines=self.disciplines,
            heights=self.heights,
            length=self.length,
            limits=tuple(self.limits),
            sizes=tuple(self.sizes),
            times=tuple(self.times),
            setting_out_m=self.setting_out_m,
            sha256=hashlib.sha256("".join(document.text for document in self.documents).encode()).hexdigest(),
            files=tuple(document.name for document in self.documents),
            units=head.units,
        )


def _disciplines(document: Document, taken: Taken[RulebookFile]) -> dict[str, tuple[str, ...]]:
    """The disciplines of one file with their grades, as far as they are right."""
    raw = document.raw.get("disciplines")
    parts = {name: taken.at(join_path("disciplines", name), list) for name in raw} if isinstance(raw, dict) else {}
    return {name: tuple(grades) for name, grades in parts.items() if grades}


def _heights(
    document: Document, taken: Taken[RulebookFile], known: Mapping[str, Height], problems: Problems
) -> dict[str, Height]:
    """The height classes of one file; what a class leaves out comes from the last base's class of the same id."""
    heights: dict[str, Height] = {}
    for path, raw, table in tables(document, taken, "height", HeightTable):
        if table is None:
            continue
        if table.id in heights:
            problems.add(f"{path}.id", say('height class "{name}" twice', name=table.id), say("give each its own id"))
        heights[table.id] = _height(table, raw, path, known, problems)
    return heights


def _height(
    table: HeightTable, raw: Mapping[str, object], path: str, known: Mapping[str, Height], problems: Problems
) -> Height:
    base = known.get(table.id)
    like = base if table.like is UNSET else known.get(table.like)
    if table.withers_cm is not UNSET:
        try:
            withers_range(table.withers_cm)
        except ValueError as error:
            problems.add(f"{path}.withers_cm", str(error), say('write it like "<35", "35-<43", ">=43"'))
    if table.like is not UNSET and like is None:
        wrong = say('no base has a height class "{name}"', name=table.like)
        problems.add(f"{path}.like", wrong, nearest(table.like, known))
    elif "runner" not in raw and like is None:
        right = say('no base has a height class "{name}" to take it from', name=table.id)
        problems.add(f"{path}.runner", say("missing"), right)
    runner = like.runner if like else Runner(turn_radius_m=1.5, takeoff_m=1.0, landing_m=1.0)
    return Height(
        id=table.id,
        title=(base.title if base else table.id.capitalize()) if table.title is UNSET else table.title,
        withers_cm=(base.withers_cm if base else "") if table.withers_cm is UNSET else table.withers_cm,
        jump_cm=(base.jump_cm if base else ()) if table.jump_cm is UNSET else tuple(table.jump_cm),
        runner=runner if table.runner is UNSET else _runner(table.runner, f"{path}.runner", problems),
        pace=(like.pace if like else None) if table.pace is UNSET else _pace(table.pace),
    )


def _pace(table: PaceTable) -> Pace:
    return Pace(
        top_mps=table.top_mps,
        lateral_mps2=table.lateral_mps2,
        accelerate_mps2=table.accelerate_mps2,
        brake_mps2=table.brake_mps2,
        obstacle_mps=table.obstacle_mps,
        pause_s=table.pause_s,
        uncertainty=table.uncertainty,
    )


def _runner(table: RunnerTable, path: str, problems: Problems) -> Runner:
    if table.crossing[0] > table.crossing[1]:
        wrong = say("the inner end of the band lies outside the outer one")
        problems.add(f"{path}.crossing", wrong, say("swap them"))
    return Runner(
        turn_radius_m=table.turn_radius_m,
        takeoff_m=table.takeoff_m,
        landing_m=table.landing_m,
        crossing=table.crossing,
        clearance_m=table.clearance_m,
        tunnel_line=table.tunnel_line,
    )
