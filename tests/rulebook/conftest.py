from __future__ import annotations

from pathlib import Path

import pytest
from rulebook_texts import Read

from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES
from coursecheck.rulebook.loading import read_rulebook
from coursecheck.rulebook.model import Rulebook


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Reads a rulebook from its text; further files are given by name."""

    def from_text(text: str, **others: str) -> Rulebook:
        shipped = tmp_path / "rules"
        shipped.mkdir(exist_ok=True)
        (tmp_path / "club.toml").write_text(text, encoding="utf-8")
        for name, other in others.items():
            (shipped / f"{name}.toml").write_text(other, encoding="utf-8")
        return read_rulebook("club.toml", folder=shipped, beside=tmp_path, measures=MEASURES, kinds=KINDS)

    return from_text
