"""The page is for everybody: what axe-core can find of barriers, in every state of the page."""

import pytest
from axe_playwright_python import sync_playwright as axe_playwright
from hands import press, settled

TELEPHONE = {"viewport": {"width": 390, "height": 760}, "has_touch": True, "is_mobile": True}


def barriers(page):
    found = axe_playwright.Axe().run(page).response["violations"]
    return [(v["id"], node["target"]) for v in found if v["impact"] in ("serious", "critical") for node in v["nodes"]]


@pytest.mark.parametrize(
    ("how", "options"),
    [
        ({}, ()),
        ({"color_scheme": "dark"}, ("--language", "de")),
        (
            {"viewport": {"width": 390, "height": 760}, "has_touch": True, "is_mobile": True, "color_scheme": "dark"},
            (),
        ),
    ],
    ids=["laptop", "dark-in-german", "telephone"],
)
def test_axe_finds_nothing_serious(open_board, open_page, draft, how, options):
    page = open_page(open_board(draft, *options), **how)
    page.click("summary >> nth=0")
    for name in ("store", "findings", "order", "ring", "plan", "obstacle"):
        page.click(f"#tab-{name}")
        assert barriers(page) == [], name
    page.check("[value=ring]")
    page.click("[data-key='put pillar']")
    press(page, 3, 20)
    settled(page)
    assert barriers(page) == []
    page.keyboard.press("Escape")
    page.keyboard.press("?")
    assert barriers(page) == []


def test_each_obstacle_says_what_it_is_and_where(open_board, open_page, draft):
    page = open_page(open_board(draft))
    words = page.get_attribute(".obstacle >> nth=6", "aria-label")
    assert words == "t1, tunnel, number 7, at 25.80, 34.20, bearing 105 degrees"


def test_what_happens_is_said_to_screen_readers(open_board, open_page, draft):
    page = open_page(open_board(draft))
    assert page.get_attribute("#status", "aria-live") == "polite"
    page.focus("[data-id=t1]")
    page.keyboard.press("ArrowLeft")
    page.wait_for_selector("#status >> text=Move t1.")


def test_a_finding_that_is_chosen_is_shown_on_the_plan(open_board, open_page, draft):
    page = open_page(open_board(draft))
    page.click("#tab-findings")
    page.click(".finding button >> nth=2")
    assert page.get_attribute(".finding button >> nth=2", "aria-pressed") == "true"
    page.wait_for_selector(".mark.shown", state="attached")


def test_the_plan_prints_alone(open_board, open_page, draft):
    page = open_page(open_board(draft))
    page.emulate_media(media="print")
    assert page.is_visible("#sheet")
    assert page.is_visible("#title")
    assert not page.is_visible(".side")
    assert not page.is_visible(".tools")
