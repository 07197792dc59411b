"""Writes every sort of page that the program makes, for a checker of HTML: papers, walks, rules, the drawing board.

python tests/papers/every_page.py FOLDER
npx --yes --package vnu-jar@26 vnu --errors-only FOLDER
"""

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from hostile_names import HOSTILE

from coursecheck.board.page import page as board_page
from coursecheck.checking import check
from coursecheck.language import LANGUAGES, speaking
from coursecheck.papers import PaperOptions, make_papers
from coursecheck.papers.walk_page import render_walk_page
from coursecheck.plans import load_plan, load_rulebook
from coursecheck.reports.rule_pages import Studio, render_index, render_rulebook
from coursecheck.resources import sample
from coursecheck.verdict.model import Verdict
from coursecheck.walk.walking import walk

BOOKS = ("club-show", "akc-premier-2016", "fci-2018")


def hostile(verdict: Verdict) -> Verdict:
    """The same under a title that tries to break out of the page."""
    course = replace(verdict.course, title=HOSTILE)
    scenes = {height: replace(scene, course=course) for height, scene in verdict.scenes.items()}
    return replace(verdict, course=course, scenes=scenes)


def pages() -> Iterator[tuple[str, bytes]]:
    """Names and contents."""
    for name in ("saltmarsh", "granary", "meadow", "draft-with-faults"):
        course, rulebook = load_plan(sample(name))
        verdict = check(course, rulebook)
        titles = {"": verdict, "-hostile": hostile(verdict)} if name == "draft-with-faults" else {"": verdict}
        for title, shown in titles.items():
            for file, content in make_papers(shown, PaperOptions(), formats=["html"]):
                yield f"{name}{title}-{file}", content
            yield f"{name}{title}-walk.html", render_walk_page(walk(shown.course, rulebook)).encode()
    books = [load_rulebook(name) for name in BOOKS]
    yield "rules.html", render_index(books).encode()
    studio = Studio()
    for book in books:
        yield from ((f"{book.id}-{name}", text.encode()) for name, text in render_rulebook(book, studio))
    for language in LANGUAGES:
        with speaking(language):
            yield f"board-{language}.html", board_page().encode()


def main() -> None:
    """Writes them into the folder that the command line names."""
    place = Path(sys.argv[1])
    for name, content in pages():
        path = place / name.replace("/", "-")
        path.write_bytes(content)


if __name__ == "__main__":
    main()
