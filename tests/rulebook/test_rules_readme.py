"""What the folder of rulebooks tells a judge to write, works."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES
from coursecheck.resources import folder
from coursecheck.rulebook.loading import read_rulebook
from coursecheck.rulebook.resolve import resolve, size_of
from coursecheck.rulebook.vocabulary import PLACES

README = (folder("rules") / "README.md").read_text(encoding="utf-8")


def test_the_overlay_of_the_readme_does_what_it_says(tmp_path: Path) -> None:
    (example,) = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    (tmp_path / "our-club.toml").write_text(example, encoding="utf-8")
    book = read_rulebook("our-club.toml", folder=folder("rules"), beside=tmp_path, measures=MEASURES, kinds=KINDS)
    rows = [row for row in book.limits if row.id == "leg-distance-max"]
    facets = {"discipline": "jumping", "grade": "2", "height": "large"}
    chosen = resolve(rows, [facets], explain=True)
    assert chosen.row is not None
    assert (chosen.row.max, chosen.row.measure, chosen.row.place.rulebook) == (8.0, "leg-distance", "our-club")
    assert "our hall is short" in chosen.trace[-1]
    untouched = resolve(rows, [{**facets, "discipline": "agility"}]).row
    assert untouched is not None
    assert untouched.place.rulebook == "club-show"
    assert size_of(book, "tunnel", "length", facets) == 4.0


def test_every_shipped_rulebook_is_introduced() -> None:
    assert {f"`{path.name}`" for path in folder("rules").glob("*.toml")} <= set(re.findall(r"`[^`\n]+`", README))


def test_every_key_of_the_shipped_rows_is_explained() -> None:
    rows = [
        row
        for path in folder("rules").glob("*.toml")
        for table in ("limit", "time")
        for row in tomllib.loads(path.read_text(encoding="utf-8")).get(table, [])
    ]
    keys = {key for row in rows for key in (*row, *row.get("where", {}), *row.get("sct", {}), *row.get("mct", {}))}
    assert {key for key in keys if f"`{key}`" not in README} == set()
    assert all(f'"{place}"' in README for place in PLACES)


def test_it_lists_every_measure_with_its_metrics():
    rows = [
        f"| `{name}` | {measure.title} | {', '.join(f'`{metric}`' for metric in measure.metrics)} |"
        for name, measure in sorted(MEASURES.items())
    ]
    _, _, listed = README.partition("## What can be measured")
    assert re.findall(r"^\| `.*", listed.partition("## Times")[0], re.MULTILINE) == rows
