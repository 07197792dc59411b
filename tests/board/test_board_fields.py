"""The fields of the page: slips are told beside them, refusals speak their words, Esc takes back."""

import pytest
from hands import chosen, judged, press

from coursecheck import load_plan


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("", "Letters from A to Z"),
        ("Ärger 1", "Letters from A to Z"),
        ("x" * 41, "40 at most"),
        ("j2", "Another obstacle"),
    ],
)
def test_a_slip_in_a_name_is_told_beside_it_and_what_was_written_stays(open_board, open_page, name, told):
    page = open_page(open_board("new.course.toml"))
    page.click("[data-kind=jump]")
    for y in (16, 10):
        press(page, 10, y)
    page.keyboard.press("Escape")
    press(page, 10, 16)
    page.click("#tab-obstacle")
    page.fill("[data-key=id]", name)
    page.keyboard.press("Enter")
    assert told in page.text_content(".field:has([data-key=id]) .wrong")
    assert page.input_value("[data-key=id]") == name
    page.fill("[data-key=id]", "first")
    page.keyboard.press("Enter")
    page.wait_for_selector("[data-id=first]")
    assert page.locator(".wrong").count() == 0


def test_a_slip_stays_in_its_field_when_a_verdict_comes(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh, program="tests.board.slow"))
    (slowly := saltmarsh.parent / "slowly").touch()
    press(page, *load_plan(saltmarsh)[0].obstacles[0].at)
    page.keyboard.press("Shift+ArrowRight")
    page.click("#tab-obstacle")
    page.fill("[data-key=id]", "")
    page.keyboard.press("Enter")
    slowly.unlink()
    judged(page)
    assert page.input_value("[data-key=id]") == ""
    assert page.locator(".field:has([data-key=id]) .wrong").count() == 1


@pytest.mark.parametrize(("written", "kept"), [("1.1", "1.1"), ("-1.1", "358.9"), ("361.5", "1.5"), ("0x10", "0x10")])
def test_a_bearing_is_kept_as_it_was_written(open_board, open_page, written, kept):
    page = open_page(open_board("new.course.toml"))
    page.click("[data-kind=jump]")
    press(page, 10, 16)
    page.click("#tab-obstacle")
    page.fill("[data-key=bearing]", written)
    page.keyboard.press("Enter")
    assert page.input_value("[data-key=bearing]") == kept
    assert page.get_attribute("[data-key=bearing]", "aria-invalid") == ("true" if "x" in written else None)


def test_the_step_of_a_size_is_called_as_its_field(open_board, open_page):
    page = open_page(open_board("new.course.toml"))
    page.click("[data-kind=tunnel]")
    press(page, 10, 16)
    page.click("#tab-obstacle")
    page.fill("[data-key='size bend']", "40")
    page.keyboard.press("Enter")
    assert page.get_attribute("#undo", "title") == "Undo: Bend of t1"


def test_two_problems_in_the_same_words_are_told_once(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    page.click("#tab-ring")
    page.fill("[data-key=entrance]", "1, 1; 5, 5")
    page.keyboard.press("Enter")
    page.wait_for_selector("#status.alarm")
    assert page.text_content("#status").count("not on the edge") == 1


@pytest.mark.parametrize(
    ("key", "wrong", "told"), [("x", "abc", "A number, such as 4.5"), ("bearing", "4 m", "A number, such as 4.5")]
)
def test_a_slip_in_a_figure_is_told_beside_it(open_board, open_page, saltmarsh, key, wrong, told):
    page = open_page(open_board(saltmarsh))
    page.focus(".obstacle")
    page.keyboard.press("Enter")
    field = page.locator(f"#panel-obstacle [data-key={key}]")
    held = field.input_value()
    field.fill(wrong)
    field.press("Enter")
    assert page.text_content("#panel-obstacle .wrong") == told
    assert page.get_attribute(f"#panel-obstacle [data-key={key}]", "aria-invalid") == "true"
    field.fill("")
    field.press("Enter")
    assert field.input_value() == held, "it has to be something: what holds stands there again"
    assert page.locator("#panel-obstacle .wrong").count() == 0


def test_a_figure_that_no_plan_may_have_is_refused_with_what_it_may_be(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    page.click("#tab-plan")
    page.fill("[data-key=speed]", "-3")
    page.keyboard.press("Enter")
    page.wait_for_selector("#status.alarm")
    assert "found -3" in page.text_content("#status")
    assert "from 0.01 to 20" in page.text_content("#status")


@pytest.mark.parametrize(("typed", "entered"), [("7.25", False), ("abc", False), ("abc", True)])
def test_esc_in_a_field_takes_back_what_was_typed_and_leads_to_the_sheet(
    open_board, open_page, saltmarsh, typed, entered
):
    page = open_page(open_board(saltmarsh))
    page.focus("[data-id=b]")
    page.keyboard.press("Enter")
    field = page.locator("#panel-obstacle [data-key=x]")
    held = field.input_value()
    field.fill(typed)
    if entered:
        field.press("Enter")
    field.press("Escape")
    assert page.evaluate("document.activeElement.dataset.id") == "b"
    assert chosen(page) == ["b"]
    assert field.input_value() == held
    assert page.locator("#panel-obstacle .wrong").count() == 0
    assert page.is_disabled("#undo")
    page.keyboard.press("?")
    page.wait_for_selector("dialog[open]")
    page.keyboard.press("Escape")
    page.wait_for_selector("dialog", state="hidden")
    assert chosen(page) == ["b"]


def test_esc_in_a_field_of_the_plan_leads_to_the_sheet_where_nothing_is_chosen(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    page.click("#tab-plan")
    page.fill("[data-key=title]", "Another")
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.id") == "sheet"
    assert page.input_value("[data-key=title]") == load_plan(saltmarsh)[0].title
    assert page.is_disabled("#undo")


@pytest.mark.parametrize(
    ("code", "words"),
    [("en", "b, x: found 20000; write"), ("de", "b, x: gefunden: 20000; schreiben"), ("fr", "b, x\u00a0: ")],
)
def test_a_refusal_names_the_obstacle_and_the_field_as_the_page_does(open_board, open_page, saltmarsh, code, words):
    page = open_page(open_board(saltmarsh, "--language", code))
    page.focus("[data-id=b]")
    page.keyboard.press("Enter")
    page.fill("#panel-obstacle [data-key=x]", "20000")
    page.keyboard.press("Enter")
    page.wait_for_selector("#status.alarm")
    said = page.text_content("#status")
    assert words in said
    assert "obstacle[" not in said


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (lambda plan: plan["obstacle"][1].update(bar=-3), "b, bar: found -3"),
        (lambda plan: plan["obstacle"][1].update(at=5), "b, at: found 5"),
        (lambda plan: plan["obstacle"][1].update(id=5), "5, name: found 5"),
        (lambda plan: plan["obstacle"].insert(1, 5), "obstacle[1]: found 5"),
        (lambda plan: plan["ring"].update(size=[-1.0, 40.0]), "Ring, width: found -1"),
        (
            lambda plan: plan["ring"].update(blocked=[{"name": "pond", "centre": [3, 3], "radius": -1}]),
            "pond, radius: found -1",
        ),
        (lambda plan: plan["sequence"].update(start_line=-3), "start line before 1: found -3"),
        (lambda plan: plan.update(store={"jump": -1}), "Store, jump: found -1"),
    ],
)
def test_refusals_of_every_panel_speak_its_words(open_board, saltmarsh, edit, words):
    board = open_board(saltmarsh)
    plan = board.start()["plan"]
    edit(plan)
    assert board.judged(plan)["error"].startswith(words)
