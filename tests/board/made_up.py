"""Runs `coursecheck`, the page of the board too, in a made-up language: `python -m tests.board.made_up board FILE`.

What is still readable there was not looked up.
"""

import json
import os
import sys
from pathlib import Path

import pytest

from coursecheck import language
from coursecheck.board import app
from tests.pseudo import Pseudo, speaking_pseudo


def words() -> bytes:
    """What the scripts of the page are told."""
    german = json.loads((Path(language.LOCALE) / "de" / "page.json").read_bytes())
    masked = {words: Pseudo().gettext(words) for words in german}
    return json.dumps(
        {words: masked[words] if isinstance(said, str) else [masked[words]] * 2 for words, said in german.items()}
    ).encode()


if __name__ == "__main__":
    from coursecheck.cli import main

    if hasattr(os, "sched_setaffinity"):
        # On one core the board has no helpers: they would not know the language.
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:1])
    monkeypatch = pytest.MonkeyPatch()
    monkeypatch.setattr(app, "words_of_page", words)
    with speaking_pseudo(monkeypatch):
        main(sys.argv[1:])
