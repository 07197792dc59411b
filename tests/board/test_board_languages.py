"""The page speaks the language that the board was started in, or the one that is chosen on it."""

import pytest
from hands import at, drag, judged, press, settled, verdict
from playwright.sync_api import expect

from coursecheck import load_plan
from coursecheck.language import LANGUAGES
from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.walk.figures import load_figures
from tests.pseudo import readable

TOLD = """() => {
  const told = [document.title];
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) told.push(texts.currentNode.textContent);
  for (const node of document.querySelectorAll("*")) {
    for (const name of ["aria-label", "title", "placeholder", "alt"]) told.push(node.getAttribute(name) ?? "");
  }
  return told.join("\\n");
}"""
"""Everything that a page tells its reader, whatever panel is open."""

WIDER = """() => [...document.querySelectorAll("body, header, main, .tabs, .side, .side *, dialog, dialog *")]
  .filter((node) => !node.matches("input, option") && node.clientWidth && node.scrollWidth > node.clientWidth + 1)
  .map((node) => node.outerHTML.slice(0, 200))"""
"""What does not fit into its place."""


def words_of(file):
    """What can be read in every language: the words of a plan and of its rulebook."""
    course, book = load_plan(file)
    yield from (file.name, course.title, course.discipline, book.id, book.source, *book.heights, *book.disciplines)
    yield from (grade for grades in book.disciplines.values() for grade in grades)
    yield from (obstacle.id for obstacle in course.obstacles)
    yield from (text for row in book.limits for text in (row.id, row.source))
    yield from (figure.id for figure in load_figures())
    yield from (load_rulebook(name).edition for name in shipped_rulebooks())
    yield from (*LANGUAGES.values(), "ft")


def go_through(page, file):
    """Uses everything that the page has; yields what was done last."""
    yield from _panels(page)
    yield from _draw(page)
    yield from _order(page)
    yield from _ring(page)
    yield from _exact(page)
    page.click("#keys")
    yield "keys"
    page.click("#dialog button")
    file.write_text(file.read_text().replace("format = 1", "format = 1 # changed"))
    page.wait_for_selector("dialog[open]")
    yield "the file was changed"


def _panels(page):
    yield "start"
    for tab in ("findings", "walk", "order", "obstacle", "ring", "plan", "store"):
        page.click(f"#tab-{tab}")
        yield tab
    page.click("summary >> nth=0")
    page.check("[data-key=store]")
    yield "what the club owns"
    page.click("#tab-findings")
    page.click(".finding button >> nth=0")
    yield "a finding"
    page.click(".finding button >> nth=0")
    yield "no finding"
    page.click("#tab-walk")
    page.check("[data-key=walk]")
    page.wait_for_selector("#walk [data-remark]", state="attached")
    page.select_option("[data-key='walk leg']", index=2)
    yield "a leg of the walk"
    page.uncheck("[data-key=walk]")
    yield "no walk"


def _draw(page):
    page.click("#tab-store")
    page.click("[data-kind=jump]")
    yield "a jump in the hand"
    press(page, 26, 37)
    page.keyboard.press("Escape")
    judged(page)
    yield "a jump placed"
    drag(page, (26, 37), (26.5, 36.5))
    judged(page)
    page.click("#tab-findings")
    yield "a jump moved"
    for key in ("R", "Control+d", "Delete", "Control+z", "Control+Shift+z", "Control+a", "ArrowLeft", "Control+z"):
        page.keyboard.press(key)
        yield key
    page.focus("[data-id=t1]")
    page.keyboard.press("B")
    yield "a tunnel bent"
    page.keyboard.press("Escape")
    page.check("[value=measure]")
    yield "measuring"
    for point in ((4, 5.5), (4, 11)):
        press(page, *point)
        yield "a point measured"
    expect(page.locator("#tape tspan")).to_have_count(2, timeout=15_000)
    yield "measured along the line"
    page.check("[value=draw]")


def _order(page):
    page.click("#tab-order")
    for place in range(5):
        page.click(f".pass:nth-child(2) .acts button >> nth={place}")
        yield "the order"
    page.select_option(".pass:nth-child(3) select", index=1)
    yield "the way to turn"
    page.check("[value=draw]")


def _ring(page):
    page.check("[value=ring]")
    yield "drawing the ring"
    for thing in ("entrance", "exit", "pillar", "area"):
        page.click(f"[data-key='put {thing}']")
        yield f"{thing} in the hand"
        press(page, 3, 20)
        yield f"{thing} placed"
        for key in ("ArrowUp", " ", "Enter"):
            page.keyboard.press(key)
            yield f"{thing} {key}"
    page.focus("[data-part='side 1']")
    for key in (" ", " ", "Enter"):
        page.keyboard.press(key)
        yield f"a side of the ring, {key}"
    for part in ("corner 2", "entrance 0", "rim 0", "place 1 corner 1", "place 1", "exit"):
        page.focus(f"[data-part='{part}']")
        for key in ("ArrowUp", "Delete"):
            page.keyboard.press(key)
            yield f"{part} {key}"
    page.check("[value=draw]")


def _exact(page):
    page.click("#tab-obstacle")
    page.focus("[data-id=a]")
    for key, words in (("x", "4.1"), ("bearing", "3"), ("size bar", "1.25"), ("id", "a a"), ("id", "a2")):
        page.fill(f"#panel-obstacle [data-key='{key}']", words)
        page.keyboard.press("Enter")
        yield f"{key} of an obstacle"
    page.click("#tab-ring")
    page.fill("#panel-ring [data-key=corners]", "0 / 0; 30 / 0; 30 / 41; 0 / 41")
    page.keyboard.press("Enter")
    page.check("#panel-ring [data-key=indoor]")
    yield "the ring in figures"
    page.click("#tab-plan")
    for key, words in (("title", "2 b"), ("speed", "3,5"), ("start", "1,5")):
        page.fill(f"#panel-plan [data-key={key}]", words)
        page.keyboard.press("Enter")
        yield f"{key} of the plan"
    for key in ("units", "grade", "discipline"):
        page.select_option(f"#panel-plan [data-key={key}]", index=1)
        yield f"{key} of the plan"


def draws(page):
    """Until the window may draw."""
    page.wait_for_selector("[data-kind=jump]:enabled")


@pytest.fixture
def made_up(open_board):
    """Opens a board on a file in the made-up language."""
    return lambda file: open_board(file, program="tests.board.made_up")


def told(page, known):
    """The words that can be read on a page although they should not."""
    return readable(str(page.evaluate(TOLD)), known)


def test_every_word_of_the_page_is_looked_up(made_up, open_page, draft):
    known = list(words_of(draft))
    page = open_page(made_up(draft))
    draws(page)
    assert {(step, word) for step in go_through(page, draft) for word in told(page, known)} == set()


def test_every_word_of_a_window_that_reads_and_of_a_board_that_broke_off_is_looked_up(made_up, open_page, draft):
    known = list(words_of(draft))
    board = made_up(draft)
    page = open_page(board)
    draws(page)
    reader = open_page(board)
    reader.wait_for_selector("[data-kind=jump]:disabled")
    assert told(reader, known) == set()
    page.focus("[data-id=a]")
    with page.expect_response("**/api/keep"):
        page.keyboard.press("ArrowRight")
    board.process.kill()
    board.process.wait()
    page.keyboard.press("ArrowRight")
    page.wait_for_selector("#status.alarm")
    assert told(page, known) == set()
    draft.write_text(draft.read_text().replace("format = 1", "format = 1 # changed"))
    again = open_page(made_up(draft))
    again.wait_for_selector("dialog[open]")
    assert told(again, known) == set()
    again.click("#dialog button >> nth=0")
    again.wait_for_selector("#undo:not([disabled])")
    assert told(again, known) == set()


def test_english_asks_for_no_catalogue(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    asked = page.evaluate("performance.getEntriesByType('resource').map((entry) => entry.name)")
    assert asked
    assert not [address for address in asked if "words.json" in address]


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (
            "de",
            (
                "regelkonform",
                "Befunde",
                "Rückgängig: c verschieben",
                "c verschieben.",
                "Rückgängig gemacht: c verschieben.",
            ),
        ),
        ("fr", ("conforme", "Constats", "Annuler\u00a0: Déplacer c", "Déplacer c.", "Annulé\u00a0: Déplacer c.")),
    ],
)
@pytest.mark.parametrize("by_environment", [False, True])
def test_a_course_is_changed_by_mouse(open_board, open_page, saltmarsh, monkeypatch, code, said, by_environment):
    verdict_, findings, undo, moved, undone = said
    if by_environment:
        monkeypatch.setenv("COURSECHECK_LANGUAGE", code)
    page = open_page(open_board(saltmarsh, *([] if by_environment else ["--language", code])))
    assert page.get_attribute("html", "lang") == code
    assert verdict(page) == verdict_
    draws(page)
    page.click(f"role=tab[name={findings}]")
    x, y = load_plan(saltmarsh)[0].obstacle("c").at
    before = at(page, "c")
    drag(page, (x, y), (x + 1.5, y))
    page.wait_for_selector(f"#status >> text={moved}")
    page.click(f"role=button[name='{undo}']")
    page.wait_for_selector(f"#status >> text={undone}")
    assert at(page, "c") == before


def test_a_course_is_changed_by_keyboard_in_german(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh, "--language", "de"))
    draws(page)
    page.focus("[data-id=a]")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith("a, Hürde, Nummer 1, bei ")
    page.keyboard.press("Shift+ArrowRight")
    page.wait_for_selector("#status >> text=a verschieben.")
    page.keyboard.press("Enter")
    field = page.locator("#panel-obstacle [data-key=x]")
    expect(field).to_be_focused()
    for written, metres in (("6,25", 6.25), ("6.5", 6.5)):
        page.keyboard.press("Control+a")
        page.keyboard.type(written)
        page.keyboard.press("Enter")
        settled(page)
        assert load_plan(saltmarsh)[0].obstacle("a").at[0] == metres
        expect(field).to_have_value(str(metres).replace(".", ","))


@pytest.mark.parametrize(
    ("code", "written", "shown"),
    [
        ("en", "0, 0; 30.5, 0; 30.5,40; 0 / 40", "0, 0; 30.5, 0; 30.5, 40; 0, 40"),
        ("de", "0, 0; 30,5 / 0; 30.5, 40; 0 / 40", "0 / 0; 30,5 / 0; 30,5 / 40; 0 / 40"),
    ],
)
def test_points_are_written_as_the_language_writes_figures(open_board, open_page, code, written, shown):
    page = open_page(open_board("empty.course.toml", "--language", code))
    draws(page)
    page.click("#tab-ring")
    corners = page.locator("#panel-ring [data-key=corners]")
    corners.fill(written)
    page.keyboard.press("Enter")
    expect(corners).to_have_value(shown)
    assert page.get_attribute("#panel-ring [data-key=corners]", "aria-invalid") != "true"


def test_the_language_is_chosen_on_the_page_and_nothing_that_was_drawn_is_lost(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board)
    draws(page)
    page.focus("[data-id=a]")
    page.keyboard.press("Shift+ArrowRight")
    moved = at(page, "a")
    page.click("#tab-plan")
    for code, name, legal in (
        ("fr", "français", "conforme"),
        ("de", "Deutsch", "regelkonform"),
        ("en", "English", "legal"),
    ):
        page.select_option("[data-key=language]", label=name)
        page.wait_for_url(f"{board.url}{code}/")
        page.wait_for_selector("#sheet[data-ready]")
        assert page.get_attribute("html", "lang") == code
        assert verdict(page) == legal
        assert at(page, "a") == moved
        page.click("#tab-plan")
    status, paper = board.request("GET", f"/{board.token}/de/api/papers/report")
    assert status == 200
    assert b'<html lang="de">' in paper


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_is_wider_than_its_panel(open_board, open_page, draft, code, width):
    page = open_page(open_board(draft, "--language", code), viewport={"width": width, "height": 760})
    page.click("#tab-walk")
    page.check("[data-key=walk]")
    page.wait_for_selector("#walk [data-remark]", state="attached")
    page.click("#tab-store")
    page.click("summary >> nth=0")
    page.check("[data-key=store]")
    page.focus("[data-id=t1]")
    for tab in ("findings", "walk", "order", "obstacle", "ring", "plan", "store"):
        page.click(f"#tab-{tab}")
        assert page.evaluate(WIDER) == [], tab
    page.click("#keys")
    assert page.evaluate(WIDER) == []
    assert page.locator("dialog dd >> nth=0").bounding_box()["width"] > 150
