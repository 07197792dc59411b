"""A board in a made-up language, its page included: `python -m tests.board.made_up board FILE`.

What is still readable there was not looked up.
"""

import json
import os
import sys
from pathlib import Path

import click
import pytest

from coursecheck import language
from coursecheck.board import app
from coursecheck.board.serving import serve
from tests.pseudo import Pseudo, speaking_pseudo


def words() -> bytes:
    """What the scripts of the page are told."""
    german = json.loads((Path(language.LOCALE) / "de" / "page.json").read_bytes())
    masked = {one: Pseudo().gettext(one) for one in german}
    made = {one: masked[one] if isinstance(said, str) else [masked[one]] * 2 for one, said in german.items()}
    return json.dumps(made).encode()


if __name__ == "__main__":
    if hasattr(os, "sched_setaffinity"):
        # On one core the board has no helpers: they would not know the language.
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:1])
    monkeypatch = pytest.MonkeyPatch()
    monkeypatch.setattr(app, "words_of_page", words)
    with speaking_pseudo(monkeypatch):
        serve(Path(sys.argv[2]), 0, open_browser=False, tell=click.echo)
