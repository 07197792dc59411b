"""What the club owns and the units of the file are edited in the page."""

import pytest
from hands import settled, verdict

from coursecheck import load_plan
from coursecheck.resources import sample


def fill(page, key, words):
    page.fill(f"[data-key='{key}']", words)
    page.keyboard.press("Enter")


def test_what_the_club_owns_is_counted(open_board, open_page):
    board = open_board("store.course.toml")
    page = open_page(board)
    page.click("text=What the club owns")
    assert "left" not in page.text_content("[data-kind=jump]")
    page.check("[data-key=store]")
    fill(page, "own jump", "2")
    fill(page, "own tunnel lengths", "5, 4.5")
    settled(page)
    store = load_plan(board.file)[0].store
    assert store["jump"].count == 2
    assert (store["tunnel"].count, store["tunnel"].lengths) == (2, (5.0, 4.5))
    assert "2 left" in page.text_content("[data-kind=jump]")
    page.focus("[data-kind=jump]")
    for _ in range(3):
        page.keyboard.press("Enter")
        page.focus("[data-kind=jump]")
    settled(page)
    assert "1 too many" in page.text_content("[data-kind=jump]")
    page.click("#tab-findings")
    assert "lacks" in page.text_content("#panel-findings")
    page.click("#tab-store")
    fill(page, "own tunnel", "3")
    settled(page)
    assert load_plan(board.file)[0].store["tunnel"].lengths == (5.0, 4.5, 5.0)
    page.uncheck("[data-key=store]")
    settled(page)
    assert load_plan(board.file)[0].store is None


@pytest.mark.parametrize("words", ["-1", "2.5", "many"])
def test_what_is_no_number_of_things_is_not_taken(open_board, open_page, saltmarsh, words):
    opened = saltmarsh.read_bytes()
    board = open_board(saltmarsh)
    page = open_page(board)
    page.click("text=What the club owns")
    fill(page, "own jump", words)
    assert page.get_attribute("[data-key='own jump']", "aria-invalid") == "true"
    assert board.end() == 0
    assert saltmarsh.read_bytes() == opened


def test_the_units_of_the_file_are_changed_and_the_plan_stays_as_it_is(open_board, open_page, saltmarsh):
    opened = saltmarsh.read_bytes()
    page = open_page(open_board(saltmarsh))
    page.click("#tab-plan")
    page.select_option("[data-key=units]", "ft")
    settled(page)
    assert verdict(page) == "legal"
    feet = load_plan(saltmarsh)[0]
    metres = load_plan(sample("saltmarsh"))[0]
    assert feet.units == "ft"
    for one, other in zip(feet.obstacles, metres.obstacles, strict=True):
        assert one.at == pytest.approx(other.at, abs=2e-4)
    page.focus(f"[data-id={metres.obstacles[0].id}]")
    page.keyboard.press("Enter")
    assert float(page.input_value("[data-key=x]")) == pytest.approx(metres.obstacles[0].at[0] / 0.3048, abs=1e-3)
    fill(page, "x", "20")
    settled(page)
    assert load_plan(saltmarsh)[0].obstacles[0].at[0] == pytest.approx(20 * 0.3048, abs=1e-6)
    page.click("#tab-findings")
    assert " ft" in page.text_content("#panel-findings table")
    page.click("#undo")
    page.click("#undo")
    settled(page)
    assert saltmarsh.read_bytes() == opened
