"""The ring is drawn by hand: its corners, sides, gates and blocked places, by mouse and by key."""

import pytest
from hands import drag, press, screen, settled

from coursecheck import load_plan


@pytest.fixture
def drawing(open_board, open_page, saltmarsh):
    """A page with the ring's parts on the sheet, and how the ring lies in the file."""
    page = open_page(open_board(saltmarsh))
    page.check("[value=ring]")

    def ring():
        settled(page)
        return load_plan(saltmarsh)[0].ring

    return page, ring


def test_a_corner_is_dragged_and_its_gates_stay_on_the_edge(drawing):
    page, ring = drawing
    before = ring()
    drag(page, (30, 40), (32.1, 41.1))
    after = ring()
    assert after.outline == ((0, 0), (30, 0), (32, 41), (0, 40))
    assert after.entrance == before.entrance
    for (x, _), (u, v) in zip(before.exit, after.exit, strict=True):
        assert x == 30
        assert u == pytest.approx(30 + 2 * v / 41, abs=1e-3)


def test_a_side_that_is_dragged_leaves_a_rectangle_a_rectangle(drawing, saltmarsh):
    page, ring = drawing
    drag(page, (15, 40), (16, 43))
    assert ring().outline == ((0, 0), (30, 0), (30, 43), (0, 43))
    assert "size = [30.0, 43.0]" in saltmarsh.read_text()


def test_a_press_on_a_side_makes_it_a_wall_and_another_one_opens_it(drawing, saltmarsh):
    page, ring = drawing
    press(page, 12, 40)
    assert ring().solid == {2}
    page.wait_for_timeout(500)  # two presses at once are another thing
    press(page, 12, 40)
    assert ring().solid == frozenset()
    press(page, 0, 30)
    assert 'solid = ["left"]' in (ring() and saltmarsh.read_text())


def test_two_presses_on_a_side_add_a_corner_in_one_step(drawing, saltmarsh):
    page, ring = drawing
    opened = saltmarsh.read_bytes()
    page.mouse.dblclick(*screen(page, 12, 0))
    assert ring().outline[1] == pytest.approx((12, 0), abs=0.1)
    assert ring().solid == frozenset()
    page.keyboard.press("Delete")
    assert len(ring().outline) == 5, "what was pressed is the side, not the corner"
    page.focus("[data-part='corner 1']")
    page.keyboard.press("Delete")
    assert len(ring().outline) == 4
    page.keyboard.press("Control+z")
    page.keyboard.press("Control+z")
    assert page.is_disabled("#undo")
    ring()
    assert saltmarsh.read_bytes() == opened


def test_gates_are_moved_along_the_edge_widened_and_placed(drawing):
    page, ring = drawing
    drag(page, (0, 2.5), (1.5, 20))
    assert ring().entrance == ((0, 18.5), (0, 21.5))
    drag(page, (0, max(y for _, y in ring().entrance)), (0, 23))
    assert sorted(y for _, y in ring().entrance) == [18.5, 23]
    page.click("[data-key='put exit']")
    press(page, 20, 39.4)
    (x, y), (u, v) = sorted(ring().exit)
    assert (x, y, u, v) == pytest.approx((18.5, 40, 21.5, 40), abs=0.1)
    page.keyboard.press("Delete")
    assert ring().exit is None


def test_blocked_places_are_placed_shaped_and_taken_out(drawing):
    page, ring = drawing
    page.click("[data-key='put area']")
    press(page, 12, 22)
    drag(page, (13, 23), (14, 24.5))
    place = ring().blocked[-1]
    assert (14, 24.5) in place.outline
    middle = page.locator("[data-part='place 0']").bounding_box()
    page.mouse.move(middle["x"] + middle["width"] / 3, middle["y"] + middle["height"] * 2 / 3)
    page.mouse.down()
    page.mouse.move(*screen(page, 13, 15), steps=4)
    page.mouse.up()
    moved = ring().blocked[-1]
    shifts = {(round(a - c, 3), round(b - d, 3)) for (a, b), (c, d) in zip(moved.outline, place.outline, strict=True)}
    assert len(shifts) == 1
    page.click("[data-key='put pillar']")
    press(page, 22, 30)
    pillar = ring().blocked[-1]
    drag(page, (pillar.centre[0] + pillar.radius_m, pillar.centre[1]), (pillar.centre[0] + 1, pillar.centre[1]))
    assert ring().blocked[-1].radius_m == pytest.approx(1, abs=0.3)
    for _ in range(2):
        page.focus("[data-part='place 0']")
        page.keyboard.press("Delete")
    assert ring().blocked == ()


def test_the_ring_is_drawn_by_keyboard_alone(drawing):
    page, ring = drawing
    page.focus("[data-part='corner 2']")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowUp")
    assert ring().outline[2] == (30.1, 41)
    page.focus("[data-part='side 3']")
    page.keyboard.press(" ")
    assert ring().solid == {3}
    page.keyboard.press("Enter")
    assert ring().outline[4] == (0, 20)
    assert ring().solid == {3, 4}, "both halves of a wall are walls"
    page.focus("[data-part='entrance']")
    before = ring().entrance
    page.keyboard.press("Shift+ArrowUp")
    assert ring().entrance == tuple((x, y + 1) for x, y in before)
    for _ in range(4):
        page.keyboard.press("Shift+ArrowDown")
    page.keyboard.press("ArrowRight")
    assert {y for _, y in ring().entrance} == {0}, "it goes round the corner"
    page.focus("[data-key='put pillar']")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.part") == "place 0"
    page.keyboard.press("ArrowLeft")
    assert len(ring().blocked) == 1


def test_a_ring_that_crosses_itself_is_told_and_taken_back(drawing):
    page, ring = drawing
    before = ring()
    drag(page, (0, 40), (40, 20))
    page.wait_for_selector("#status.alarm >> text=crosses")
    page.wait_for_selector("#undo[disabled]")
    assert ring() == before
