"""The walk as a layer of the board: off at first, then the remarks at their places and one leg at a time."""

import json

import pytest
from axe_playwright_python import sync_playwright as axe_playwright
from hands import at, drag, judged

import coursecheck
from coursecheck.board.walking import walk_of
from coursecheck.resources import sample
from coursecheck.walk.walking import walk


@pytest.fixture
def walking(open_board, open_page, draft):
    """A page on the draft whose walk is switched on."""

    def opened(**how):
        page = open_page(open_board(draft), **how)
        page.click("#tab-walk")
        page.check("[data-key=walk]")
        page.wait_for_selector("#walk [data-remark]", state="attached")
        return page

    return opened


@pytest.mark.parametrize("shown", ["small", "large"])
def test_the_page_is_told_what_the_walk_of_that_class_says(shown):
    course, book = coursecheck.load_plan(sample("draft-with-faults"))
    told = walk_of(course, book, shown, coursecheck.measure_course(course, book)[shown])
    one = walk(course, book, [shown]).classes[shown]
    assert told["height"] == shown
    assert [leg["number"] for leg in told["legs"]] == [leg.before.number for leg in one.legs]
    assert {made["sentence"] for made in told["remarks"]} == {made.sentence for made in one.remarks}
    assert all(set(leg["handlers"]) == {"slow", "middling", "fast"} for leg in told["legs"])
    assert json.dumps(told, allow_nan=False)


def test_a_plan_without_a_sequence_is_walked_too(open_board, open_page):
    page = open_page(open_board("empty.course.toml"))
    page.click("#tab-walk")
    page.check("[data-key=walk]")
    page.wait_for_selector("#panel-walk >> text=never a verdict")
    assert page.locator("#walk *").count() == 0


def test_the_walk_is_off_at_first_and_is_not_asked_for(open_board, open_page, draft):
    asked = []
    page = open_page(open_board(draft))
    page.on("request", lambda request: asked.append(request.url) if request.url.endswith("/api/walk") else None)
    page.click("#tab-walk")
    drag(page, (4.0, 11.0), (4.5, 11.5))
    judged(page)
    assert not page.is_checked("[data-key=walk]")
    assert page.locator("#walk *").count() == 0
    assert asked == []


def test_remarks_hang_at_their_places_and_lead_to_their_leg(walking):
    page = walking()
    sentence = page.text_content("#panel-walk .finding .what >> nth=0")
    assert sentence.startswith("Spread 3 is met at 33°")
    assert page.locator("#walk .walk-cone").count() == 0
    page.click("#panel-walk .finding button >> nth=0")
    assert page.get_attribute("#panel-walk .finding button >> nth=0", "aria-pressed") == "true"
    assert page.locator("#walk .mark.shown").get_attribute("data-remark") == "0"
    assert page.locator("#walk .walk-cone").count() == 1
    assert page.locator("#walk .walk-way").count() == 1
    assert page.locator("#walk .walk-handler").count() == 1
    assert page.input_value("[data-key='walk leg']") == "2"
    page.click("#panel-walk .finding button >> nth=0")
    assert page.locator("#walk .walk-cone").count() == 0


def test_a_leg_is_chosen_and_a_handler_with_the_keyboard_alone(walking):
    page = walking()
    page.focus("[data-key='walk leg']")
    for number in "123":
        page.keyboard.press("ArrowDown")
        page.wait_for_selector("#walk .walk-way", state="attached")
        assert page.input_value("[data-key='walk leg']") == number
    before = page.get_attribute("#walk .walk-handler", "points")
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowUp")
    page.wait_for_function(
        "before => document.querySelector('#walk .walk-handler').getAttribute('points') !== before", arg=before
    )
    assert page.evaluate("document.activeElement.dataset.key") == "walk handler"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.locator("#walk .mark.shown").count() == 1
    assert page.evaluate("document.activeElement.dataset.key") == "walk 0"


def test_another_class_is_walked_when_it_comes_into_view(walking):
    page = walking()
    assert "Class large." in page.text_content("#panel-walk")
    page.select_option("#shown", "small")
    page.wait_for_selector("#panel-walk >> text=Class small.")


def test_it_is_walked_anew_when_a_drag_rests_and_not_at_each_step(walking):
    page = walking()
    asked = []
    page.on("request", lambda request: asked.append(request.url) if request.url.endswith("/api/walk") else None)
    old = page.text_content("#panel-walk .finding .what >> nth=0")
    drag(page, (4.0, 18.4), (5.0, 19.4), steps=25)
    page.wait_for_function("old => document.querySelector('#panel-walk .finding .what').textContent !== old", arg=old)
    judged(page)
    assert at(page, "c") != ""
    assert len(asked) == 1
    assert not page.evaluate("document.querySelector('#walk').classList.contains('older')")


def test_while_a_hand_is_at_the_plan_the_layer_is_pale(walking):
    page = walking()
    page.focus("[data-id=c]")
    page.evaluate(
        """() => {
          const layer = document.querySelector("#walk");
          const look = () => { window.pale ||= layer.classList.contains("older"); };
          new MutationObserver(look).observe(layer, { attributes: true });
        }"""
    )
    page.keyboard.press("ArrowLeft")
    judged(page)
    page.wait_for_function("() => window.pale && !document.querySelector('#walk').classList.contains('older')")


def test_switched_off_it_leaves_nothing_behind(walking):
    page = walking()
    page.click("#panel-walk .finding button >> nth=0")
    page.uncheck("[data-key=walk]")
    assert page.locator("#walk *").count() == 0
    assert page.locator("#panel-walk .finding").count() == 0


def test_names_of_a_plan_only_ever_become_text(open_board, open_page, draft):
    text = draft.read_text(encoding="utf-8")
    evil = '\n[[ring.blocked]]\nname = "<img src=x onerror=alert(1)>"\ncentre = [4.9, 8.0]\nradius = 0.2\n'
    draft.write_text(text.replace("\n[[obstacle]]", evil + "\n[[obstacle]]", 1), encoding="utf-8")
    page = open_page(open_board(draft))
    page.click("#tab-walk")
    page.check("[data-key=walk]")
    page.wait_for_selector("#panel-walk >> text=<img src=x")
    assert page.locator("img").count() == 0


@pytest.mark.parametrize(
    "how",
    [
        {},
        {"color_scheme": "dark"},
        {"viewport": {"width": 390, "height": 760}, "has_touch": True, "is_mobile": True},
    ],
    ids=["laptop", "dark", "telephone"],
)
def test_axe_finds_nothing_serious(walking, how):
    page = walking(**how)
    page.click("#panel-walk .finding button >> nth=0")
    found = axe_playwright.Axe().run(page).response["violations"]
    assert [v["id"] for v in found if v["impact"] in ("serious", "critical")] == []


@pytest.mark.parametrize("body", [{}, {"plan": 3}, {"plan": {}}])
def test_what_is_no_plan_is_not_walked(open_board, draft, body):
    status, answer = open_board(draft).post("walk", body)
    assert status in (400, 422)
    assert answer["error"]
