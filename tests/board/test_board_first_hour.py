"""What somebody meets who has never seen the board: flags, slips of the finger, and a program that takes its time."""

import shutil
from itertools import product
from pathlib import Path

import pytest
from hands import at, chosen, judged, press, screen, settled, verdict

from coursecheck import check, load_plan
from coursecheck.language import LANGUAGES

PLANS = Path(__file__).parents[1] / "corpus" / "plans"


def test_a_flag_that_is_pressed_leads_to_its_finding_and_never_stands_in_the_way_of_a_drag(
    open_board, open_page, draft
):
    page = open_page(open_board(draft))
    flag = page.locator("#marks .mark .cloth").first
    key = page.locator("#marks .mark").first.get_attribute("data-finding")
    flag.click()
    assert page.get_attribute("#tab-findings", "aria-selected") == "true"
    button = page.locator(f"#panel-findings button[data-key='{key}']")
    assert button.get_attribute("aria-pressed") == "true"
    assert button.is_visible()
    page.wait_for_selector("#marks .mark.shown")
    page.keyboard.press("Escape")

    before, box = page.get_attribute("#sheet", "viewBox"), flag.bounding_box()
    under = page.evaluate(
        """([x, y]) => document.elementsFromPoint(x, y).find((node) => !node.closest("#marks"))
            .closest(".obstacle")?.dataset.id ?? null""",
        [box["x"] + box["width"] / 2, box["y"] + box["height"] / 2],
    )
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + 40, box["y"] + 40, steps=4)
    page.mouse.up()
    assert chosen(page) == [under] if under else page.get_attribute("#sheet", "viewBox") != before


def test_what_is_broken_or_close_is_marked_at_its_place_and_a_note_when_it_is_chosen(open_board, open_page, tmp_path):
    board = open_board(shutil.copy(PLANS / "grown-23.course.toml", tmp_path / "many.course.toml"))
    told = {f["key"]: f for f in board.judged(board.start()["plan"])["findings"] if f["witness"]}
    assert {f["severity"] for f in told.values()} == {"must", "should", "note"}
    page = open_page(board)
    page.click("#tab-findings")

    def marked():
        return {mark.get_attribute("data-finding") for mark in page.locator("#marks .mark").all()}

    always = {key for key, f in told.items() if f["severity"] != "note"}
    assert {told[key]["outcome"] for key in always} == {"breach", "close"}
    assert marked() == always
    [note, *_] = told.keys() - always
    page.click(f"#panel-findings button[data-key='{note}']")
    assert marked() == always | {note}


CROWDED = (
    ("j8", "jump", 10.0, 36.97, 90),
    ("j9", "jump", 15.0, 37.04, 90),
    ("s1", "spread", 20.0, 36.05, 108),
    ("j10", "jump", 25.0, 32.5, 150),
)


def test_a_flag_hides_no_number(open_board, open_page, tmp_path):
    parts = "".join(
        f'[[obstacle]]\nid = "{name}"\nkind = "{kind}"\nat = [{x}, {y}]\nbearing = {bearing}\n'
        for name, kind, x, y, bearing in CROWDED
    )
    run = ", ".join(f'"{name}"' for name, *_ in CROWDED)
    head = 'format = 1\n[course]\ntitle = "four"\nrulebook = "club-show"\ndiscipline = "agility"\ngrade = "1"\n'
    head += "[ring]\nsize = [30.0, 40.0]\n"
    (tmp_path / "crowded.course.toml").write_text(f"{head}{parts}[sequence]\nrun = [{run}]\n")
    page = open_page(open_board("crowded.course.toml"))
    judged(page)
    drawn = ("#marks .cloth", "#obstacles .number")
    flags, numbers = ([one.bounding_box() for one in page.locator(path).all()] for path in drawn)
    assert len(flags) > 3
    assert len(numbers) == 4
    for a, b in product(flags, numbers):
        across = min(a["x"] + a["width"], b["x"] + b["width"]) - max(a["x"], b["x"])
        assert across <= 0 or min(a["y"] + a["height"], b["y"] + b["height"]) <= max(a["y"], b["y"])


def test_a_finding_without_a_place_is_not_said_to_be_shown(open_board, open_page):
    page = open_page(open_board("new.course.toml"))
    page.click("#tab-findings")
    page.click("#panel-findings .finding button >> nth=0")
    assert page.text_content("#status").endswith("the whole course: at no one place of the plan.")


@pytest.mark.parametrize("width", [1280, 390])
def test_a_long_title_leaves_the_sheet_its_room(open_board, open_page, saltmarsh, width):
    long = "Third round of the open class in the great hall, with everything that goes with it, " * 2
    saltmarsh.write_text(saltmarsh.read_text().replace("Saltmarsh Spring Show, ring 2", long.strip()))
    page = open_page(open_board(saltmarsh), viewport={"width": width, "height": 800})
    assert page.locator(".title-block").bounding_box()["height"] < 110
    assert page.get_attribute("#title", "title") == long.strip()


@pytest.mark.parametrize(("width", "height"), [(640, 400), (844, 390)])
def test_at_200_percent_and_on_a_telephone_on_its_side_sheet_and_panel_have_room(
    open_board, open_page, saltmarsh, width, height
):
    page = open_page(open_board(saltmarsh), viewport={"width": width, "height": height})
    for part in ("#sheet", "#panel-store"):
        assert page.locator(part).bounding_box()["height"] > 170
        assert page.locator(part).bounding_box()["width"] > 250


@pytest.mark.parametrize("code", LANGUAGES)
def test_no_kind_of_obstacle_is_broken_within_a_word_on_a_telephone(open_board, open_page, code):
    board = open_board("new.course.toml")
    page = open_page(board, viewport={"width": 390, "height": 760})
    page.goto(f"{board.url}{code}/")
    page.wait_for_selector("#sheet[data-ready]")
    for name in page.locator(".kind span:not(.count)").all():
        lines = name.evaluate(
            "e => { const r = document.createRange(); r.selectNodeContents(e); return r.getClientRects().length; }"
        )
        assert lines <= len(name.text_content().split())


def test_a_printed_sheet_says_by_which_rulebook_it_was_judged(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh), viewport={"width": 794, "height": 1123})
    page.emulate_media(media="print")
    assert page.is_visible("#subject")
    assert "club-show" in page.text_content("#subject")
    assert page.is_visible("#verdict")
    assert not page.is_visible("#saved")


def test_draw_pressed_again_lets_go_of_what_was_to_be_placed(open_board, open_page):
    board = open_board("new.course.toml")
    page = open_page(board, viewport={"width": 390, "height": 760}, has_touch=True, is_mobile=True)
    page.tap("[data-kind=jump]")
    assert "Draw pressed again" in page.text_content("#hint")
    page.tap("label:has([value=draw])")
    assert page.get_attribute("[data-kind=jump]", "aria-pressed") == "false"
    page.touchscreen.tap(*screen(page, 10, 10))
    assert page.locator(".obstacle").count() == 0


def test_a_window_that_comes_to_draw_says_so(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    first, second = open_page(board), open_page(board)
    second.wait_for_selector("#status >> text=only reads")
    first.context.close()
    second.wait_for_selector("#status >> text=This window draws now.")


def test_a_file_that_is_gone_is_told_as_gone_and_written_again_with_its_comments(open_board, open_page, saltmarsh):
    before = saltmarsh.read_bytes()
    page = open_page(open_board(saltmarsh))
    saltmarsh.unlink()
    page.wait_for_selector("dialog[open] >> text=deleted or moved")
    page.click("text=Write it again")
    settled(page)
    assert saltmarsh.read_bytes() == before


def test_while_a_plan_is_long_in_judging_no_old_verdict_is_shown_and_what_is_drawn_is_saved(
    open_board, open_page, saltmarsh
):
    page = open_page(open_board(saltmarsh, program="tests.board.slow"))
    assert verdict(page) == "legal"
    (slowly := saltmarsh.parent / "slowly").touch()
    first = load_plan(saltmarsh)[0].obstacles[0]
    press(page, *first.at)
    page.keyboard.press("Shift+ArrowRight")
    page.wait_for_selector("#reason >> text=still being judged")
    assert verdict(page) == "…"
    page.wait_for_selector("#saved >> text=/^saved$/")
    assert load_plan(saltmarsh)[0].obstacles[0].at[0] == first.at[0] + 1
    slowly.unlink()
    judged(page)
    assert verdict(page) == ("legal" if check(*load_plan(saltmarsh)).legal else "not legal")


def test_a_plan_that_is_long_in_judging_is_left_once_there_is_a_newer_one(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh, program="tests.board.slow"))
    assert verdict(page) == "legal"
    (slowly := saltmarsh.parent / "slowly").touch()
    left = saltmarsh.parent / "left"
    press(page, *load_plan(saltmarsh)[0].obstacles[0].at)
    page.keyboard.press("Shift+ArrowRight")
    page.wait_for_selector("#reason >> text=still being judged")  # long after it is late
    assert not left.exists()
    page.keyboard.press("Shift+ArrowRight")
    while not left.exists():
        page.wait_for_timeout(20)
    assert verdict(page) == "…"
    slowly.unlink()
    settled(page)
    assert left.read_text() == "left\n"
    assert verdict(page) == ("legal" if check(*load_plan(saltmarsh)).legal else "not legal")


def test_an_obstacle_that_is_held_at_the_edge_of_its_free_ground_keeps_its_distance(open_board, open_page, tmp_path):
    file = tmp_path / "two.course.toml"
    file.write_text(
        'format = 1\n[course]\ntitle = "two"\nrulebook = "club-show"\ndiscipline = "agility"\ngrade = "3"\n'
        "[ring]\nsize = [30.0, 40.0]\n"
        '[[obstacle]]\nid = "a"\nkind = "jump"\nat = [15.0, 10.0]\nbearing = 0\n'
        '[[obstacle]]\nid = "b"\nkind = "jump"\nat = [15.0, 20.0]\nbearing = 0\n'
        '[sequence]\nrun = ["a", "b"]\n'
    )
    page = open_page(open_board(file))
    with page.expect_response("**/api/ground"):
        page.mouse.move(*screen(page, 15, 20))
        page.mouse.down()
        page.mouse.move(*screen(page, 15, 16), steps=4)
    page.wait_for_selector("#ground .free")
    page.mouse.move(*screen(page, 15, 15.1), steps=4)
    page.mouse.up()
    settled(page)
    plan, book = load_plan(file)
    assert 5.1 < plan.obstacle("b").at[1] - plan.obstacle("a").at[1] < 5.2
    assert at(page, "b").startswith("translate(15 -15.1")
    legs = [one for one in check(plan, book).findings if one.limit == "leg-distance-min"]
    assert {one.outcome for one in legs} == {"met"}


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize(("width", "rows"), [(390, 3), (1280, 1)])
def test_the_bar_and_the_tabs_can_be_reached_whole(open_board, open_page, draft, code, width, rows):
    page = open_page(open_board(draft, "--language", code), viewport={"width": width, "height": 800})
    for tool in page.locator(".tools input, .tools button, .tools select").all():
        box = tool.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
    buttons = page.locator(".tools button, .tools select, .tools .modes").all()
    assert len({round(box["y"] + box["height"] / 2) for box in (button.bounding_box() for button in buttons)}) == rows
    for tab in ("walk", "order"):  # the longest words: the chosen one is bold
        page.click(f"#tab-{tab}")
        assert len({box["y"] for box in (one.bounding_box() for one in page.locator("[role=tab]").all())}) == 1


@pytest.mark.parametrize("width", [390, 1280])
def test_undo_keeps_its_width_whatever_the_step_is_called(open_board, open_page, saltmarsh, width):
    page = open_page(open_board(saltmarsh), viewport={"width": width, "height": 800})
    tools = page.locator(".tools button").all()
    before = [tool.bounding_box() for tool in tools]
    page.focus("[data-id=walk]")
    page.keyboard.press("ArrowRight")
    page.wait_for_selector("#undo:not([disabled])")
    assert page.get_attribute("#undo", "title") == page.text_content("#undo") == "Undo: Move walk"
    assert [tool.bounding_box() for tool in tools] == before
    page.click("#tab-ring")
    page.fill("[data-key='size 1']", "41")
    page.keyboard.press("Enter")
    page.wait_for_selector("#undo[title='Undo: Ring size']")
    assert [tool.bounding_box() for tool in tools] == before


def test_what_has_no_file_yet_is_not_called_saved(open_board, open_page):
    board = open_board("new.course.toml")
    page = open_page(board)
    second = open_page(board)
    assert page.text_content("#saved") == "no file yet"
    page.click("[data-kind=jump]")
    press(page, 10, 10)
    settled(page)
    assert board.file.exists()
    page.context.close()
    second.wait_for_selector("#saved >> text=/^saved$/")


def test_a_finding_says_its_place_and_title_once_and_a_line_of_figures_for_each_class(open_board, open_page, draft):
    page = open_page(open_board(draft))
    page.click("#tab-findings")
    found = page.locator(".finding", has_text="distance to the next obstacle (line), 10 to 11").first
    assert found.inner_text().count("10 to 11 (h to t2)") == 1
    assert found.locator("p >> nth=0").inner_text() == "medium: 4.34 m, at least 5.00 m (0.66 m short)"
    assert found.locator("p >> nth=1").inner_text() == "large: 4.38 m, at least 5.00 m (0.62 m short)"
