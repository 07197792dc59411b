"""A course is drawn by hand, and judged while it is drawn."""

import math

import pytest
from hands import at, chosen, drag, judged, press, screen, settled, verdict

from coursecheck import check, load_plan
from coursecheck.resources import sample


def draw_course(page, course):
    """Places every obstacle of a course in its order, each with one press and drag."""
    for run in course.passes:
        obstacle = course.obstacle(run.obstacle)
        page.click(f"[data-kind={obstacle.kind}]")
        x, y = obstacle.at
        angle = math.radians(obstacle.bearing_deg)
        drag(page, (x, y), (x + 4 * math.sin(angle), y + 4 * math.cos(angle)), steps=3, key="Alt")
        page.keyboard.press("Escape")
        if obstacle.kind == "tunnel":
            bend(page, obstacle)


def bend(page, obstacle):
    """Takes the far mouth of the tunnel that was placed last to where it shall be."""
    judged(page)
    press(page, *obstacle.at)
    mouth = page.locator(".handle.bend").bounding_box()
    chord = math.radians(obstacle.bearing_deg + obstacle.sizes["bend"] / 2)
    target = screen(page, obstacle.at[0] + 3 * math.sin(chord), obstacle.at[1] + 3 * math.cos(chord))
    page.mouse.move(mouth["x"] + mouth["width"] / 2, mouth["y"] + mouth["height"] / 2)
    page.mouse.down()
    page.mouse.move(*target, steps=3)
    page.mouse.up()


def fill(page, key, words):
    """Writes into a field of the panel that is open."""
    page.fill(f"[role=tabpanel]:not([hidden]) [data-key='{key}']", words)
    page.keyboard.press("Enter")


def test_a_whole_course_is_drawn_by_mouse_to_a_legal_verdict(open_board, open_page):
    board = open_board("drawn.course.toml")
    page = open_page(board)
    page.click("#tab-plan")
    page.select_option("[data-key=grade]", "3")
    fill(page, "speed", "3.8")
    page.click("#tab-store")
    course, _ = load_plan(sample("saltmarsh"))
    draw_course(page, course)
    settled(page)
    drawn, book = load_plan(board.file)
    assert len(drawn.obstacles) == len(drawn.passes) == 20
    assert [o.kind for o in drawn.obstacles] == [course.obstacle(run.obstacle).kind for run in course.passes]
    judged = check(drawn, book)
    assert judged.legal
    assert verdict(page) == "legal"
    page.click("#tab-findings")
    for length in judged.lengths:
        assert f"{length.length_m:.2f} m" in page.text_content("#panel-findings table")


FREEHAND = (
    *[("jump", 5, 8, 0), ("jump", 5, 14, 0), ("jump", 6, 20, 10), ("tunnel", 8, 27, 30), ("a-frame", 18, 33, 100)],
    *[("jump", 26, 27, 170), ("jump", 26, 20.5, 185), ("seesaw", 24, 13, 195), ("jump", 19, 6, 270)],
    *[("weaves", 11, 9, 320), ("jump", 9.5, 17, 10), ("spread", 13, 22.5, 60), ("jump", 19, 24, 100)],
    *[("tyre", 20.5, 17.5, 190), ("jump", 16, 13, 230)],
)


def test_a_stranger_draws_a_legal_club_course_with_one_press_and_drag_for_each_obstacle(open_board, open_page):
    board = open_board("freehand.course.toml")
    page = open_page(board)
    page.click("#tab-plan")
    page.select_option("[data-key=grade]", "2")
    fill(page, "speed", "3.5")
    page.check("[value=ring]")
    for gate, x in (("entrance", 0), ("exit", 30)):
        page.click(f"[data-key='put {gate}']")
        press(page, x, 3)
    page.check("[value=draw]")
    page.click("#tab-store")
    for kind, x, y, bearing in FREEHAND:
        page.click(f"[data-kind={kind}]")
        angle = math.radians(bearing)
        drag(page, (x, y), (x + 4 * math.sin(angle), y + 4 * math.cos(angle)), steps=4)
        page.keyboard.press("Escape")
    settled(page)
    assert verdict(page) == "legal"
    assert check(*load_plan(board.file)).legal
    assert "The plan is now legal" in page.text_content("#status")


def test_a_course_is_changed_by_keyboard_alone(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board)
    before = load_plan(saltmarsh)[0].obstacles[0]
    while page.evaluate("document.activeElement.dataset?.id") is None:
        page.keyboard.press("Tab")
    assert chosen(page) == [before.id], "the first stop on the sheet is number 1"
    page.keyboard.press("Tab")
    second = load_plan(saltmarsh)[0].passes[1].obstacle
    assert chosen(page) == [second], "the stops follow the course"
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Alt+ArrowDown")
    page.keyboard.press("r")
    assert before.id in page.text_content("#status")
    settled(page)
    after = load_plan(saltmarsh)[0].obstacles[0]
    assert after.at == pytest.approx((before.at[0] + 1.0, before.at[1] + 0.09))
    assert after.bearing_deg == before.bearing_deg + 15
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.key") == "x"
    page.keyboard.type("4.125")
    page.keyboard.press("Enter")
    settled(page)
    assert load_plan(saltmarsh)[0].obstacles[0].at[0] == 4.125
    page.keyboard.press("Escape")
    page.keyboard.press("Control+z")
    settled(page)


def test_an_obstacle_is_placed_numbered_and_taken_out_without_a_mouse(open_board, open_page):
    board = open_board("keys.course.toml")
    page = open_page(board)
    page.focus("[data-kind=jump]")
    page.keyboard.press("Enter")
    page.focus("[data-kind=tunnel]")
    page.keyboard.press("Enter")
    page.keyboard.press("b")
    page.keyboard.press("n")
    settled(page)
    drawn = load_plan(board.file)[0]
    assert [run.obstacle for run in drawn.passes] == ["j1", "t1", "t1"]
    assert drawn.obstacle("t1").sizes["bend"] == 5
    page.keyboard.press("Delete")
    settled(page)
    assert [o.id for o in load_plan(board.file)[0].obstacles] == ["j1"]


def test_what_has_only_got_other_numbers_is_not_new(open_board, open_page):
    page = open_page(open_board("numbers.course.toml"))
    page.click("[data-kind=jump]")
    for y in (5, 12, 19, 26, 29.5):
        press(page, 15, y)
    page.keyboard.press("Escape")
    settled(page)
    page.click("#tab-findings")
    assert "4 to 5 (j4 to j5)" in page.text_content(".finding.must:has-text('j4 to j5')")
    press(page, 15, 5)
    page.keyboard.press("Delete")
    settled(page)
    close = page.text_content(".finding.must:has-text('j4 to j5')")
    assert "3 to 4 (j4 to j5)" in close
    assert "new" not in close
    assert "j4 to j5" not in page.text_content(".change")


def test_what_is_placed_by_key_stands_ahead_of_the_way_out_of_the_last_and_in_the_ring(open_board, open_page):
    board = open_board("keys.course.toml")
    page = open_page(board)

    def place(kind, *keys):
        page.focus(f"[data-kind={kind}]")
        for key in ("Enter", *keys):
            page.keyboard.press(key)
        settled(page)

    place("jump", *["Shift+ArrowDown"] * 9)
    place("tunnel", *["b"] * 18)
    place("jump")
    for _ in range(3):
        place("weaves")
    drawn = load_plan(board.file)[0]
    tunnel, jump = drawn.obstacle("t1"), drawn.obstacle("j2")
    radius = 5.0 / math.radians(90)
    assert tunnel.at == (15.0, 17.0)
    assert jump.at == pytest.approx((15.0 + radius + 6, 17.0 + radius), abs=0.3)
    assert jump.bearing_deg == 90
    assert all(0 < v < most for o in drawn.obstacles for v, most in zip(o.at, (30, 40), strict=True))


def test_findings_follow_while_an_obstacle_is_dragged(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    page.click("#tab-findings")
    course = load_plan(saltmarsh)[0]
    first, second = course.obstacles[:2]
    here, there = screen(page, *second.at), screen(page, second.at[0], first.at[1] + 2)
    page.keyboard.down("Alt")
    page.mouse.move(*here)
    page.mouse.down()
    page.mouse.move(*there, steps=5)
    page.wait_for_selector(".mark.breach")
    page.wait_for_selector(".finding.must >> text=1 to 2")
    page.wait_for_selector("#ground .free", state="attached")
    page.mouse.move(*here, steps=5)
    page.wait_for_selector(".mark.breach", state="detached")
    page.mouse.move(*there, steps=2)
    page.mouse.up()
    page.keyboard.up("Alt")
    settled(page)
    assert verdict(page) == "not legal"
    assert "The last change made" in page.text_content(".change")
    page.click("#undo")
    settled(page)
    assert verdict(page) == "legal"
    assert "It solved" in page.text_content(".change")
    assert "All is well" in page.text_content("#panel-findings")


def test_undoing_everything_gives_the_file_back_and_redoing_everything_the_same_bytes(
    open_board, open_page, saltmarsh
):
    opened = saltmarsh.read_bytes()
    page = open_page(open_board(saltmarsh))
    course = load_plan(saltmarsh)[0]
    drag(page, course.obstacles[4].at, (6.0, 27.0))
    press(page, *course.obstacles[9].at)
    page.keyboard.press("Delete")
    press(page, *course.obstacles[2].at)
    page.keyboard.press("Control+d")
    page.keyboard.press("Escape")
    page.click("[data-kind=wall]")
    drag(page, (15, 20), (18, 20))
    page.keyboard.press("Escape")
    page.click("#tab-order")
    page.click("[aria-label='The other way over 3']")
    settled(page)
    changed = saltmarsh.read_bytes()
    assert b"# " in changed
    for _ in range(5):
        page.keyboard.press("Control+z")
    assert page.is_disabled("#undo")
    settled(page)
    assert saltmarsh.read_bytes() == opened
    for _ in range(5):
        page.keyboard.press("Control+y")
    assert page.is_disabled("#redo")
    settled(page)
    assert saltmarsh.read_bytes() == changed


def test_a_press_that_does_not_move_changes_nothing(open_board, open_page, saltmarsh):
    opened = saltmarsh.read_bytes()
    board = open_board(saltmarsh)
    page = open_page(board)
    press(page, *load_plan(saltmarsh)[0].obstacles[3].at)
    assert page.is_disabled("#undo")
    assert board.end() == 0
    assert saltmarsh.read_bytes() == opened


def test_alt_suspends_snapping(open_board, open_page):
    page = open_page(open_board("snap.course.toml"))
    page.click("[data-kind=jump]")
    press(page, 10.08, 10.07)
    assert "translate(10 -10)" in at(page, "j1")
    page.keyboard.down("Alt")
    press(page, 20.15, 30.2)
    page.keyboard.up("Alt")
    assert "translate(20 -30)" not in at(page, "j2")


def test_a_drag_gives_its_own_direction_wherever_the_obstacle_snaps_to(open_board, open_page):
    page = open_page(open_board("snap.course.toml"))
    page.click("[data-kind=jump]")
    drag(page, (10, 10), (12, 13.464))
    drag(page, (13, 15.7), (13, 17.7))
    place, turned = at(page, "j2").split(") ")
    assert place != "translate(13 -15.7"  # it snapped into line with the first
    assert turned == "rotate(0)"


def test_a_kind_that_is_pressed_for_every_obstacle_is_placed_each_time(open_board, open_page):
    page = open_page(open_board("snap.course.toml"))
    for x in (8, 14, 20):
        page.click("[data-kind=jump]")
        press(page, x, 12)
    assert page.locator(".obstacle").count() == 3


def test_esc_ends_placing_first_and_lets_go_of_what_is_chosen_then(open_board, open_page):
    page = open_page(open_board("esc.course.toml"))
    page.click("[data-kind=tunnel]")
    press(page, 10, 10)
    page.keyboard.press("Escape")
    assert page.get_attribute("[data-kind=tunnel]", "aria-pressed") == "false"
    assert chosen(page) == ["t1"]
    page.wait_for_selector(".handle.bend")
    page.keyboard.press("Escape")
    assert chosen(page) == []


def test_several_are_chosen_moved_and_numbered_by_pressing_them(open_board, open_page):
    board = open_board("several.course.toml")
    page = open_page(board)
    page.uncheck("#numbering")
    page.click("[data-kind=jump]")
    for x in (8, 14, 20):
        press(page, x, 12)
    page.keyboard.press("Escape")
    page.check("[value=number]")
    for x in (20, 8, 14):
        press(page, x, 12)
    page.check("[value=draw]")
    drag(page, (5, 9), (16, 15), key="Shift")
    assert chosen(page) == ["j1", "j2"]
    drag(page, (14, 12), (14, 17), key="Alt")
    settled(page)
    drawn = load_plan(board.file)[0]
    assert [run.obstacle for run in drawn.passes] == ["j3", "j1", "j2"]
    assert [o.at[1] for o in drawn.obstacles] == pytest.approx([17, 17, 12], abs=0.1)


def test_the_tape_measures_between_points(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    page.check("[value=measure]")
    press(page, 5, 5)
    press(page, 5, 15)
    metres = float(page.text_content("#tape text").removesuffix(" m"))
    assert metres == pytest.approx(10, abs=0.15)


def test_the_order_tells_how_far_along_the_line_each_number_is(open_board, open_page, saltmarsh):
    from coursecheck import measure_course

    page = open_page(open_board(saltmarsh))
    page.click("#tab-order")
    line = measure_course(*load_plan(saltmarsh))["large"].line
    first = page.text_content(".pass >> nth=0")
    second = page.text_content(".pass >> nth=1")
    assert "0.00 m along the line" in first
    assert f"then {line.legs[0].length_m:.2f} m from landing to take-off" in first
    reached = line.passes[0].length_m - line.passes[0].before_m + line.legs[0].length_m + line.passes[1].before_m
    assert f"{reached:.2f} m along the line" in second
