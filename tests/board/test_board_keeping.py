"""What was drawn is kept, whatever happens; and what others did is not lost either."""

import re

from hands import chosen, drag, press, screen, settled

from coursecheck import load_plan


def move_first(page, file, key="ArrowRight"):
    """Moves number 1 by a tenth of a metre."""
    press(page, *load_plan(file)[0].obstacles[0].at)
    page.keyboard.press(key)


def test_what_is_drawn_is_in_the_file_after_a_moment_with_its_comments(open_board, open_page, saltmarsh):
    before = saltmarsh.read_text()
    page = open_page(open_board(saltmarsh))
    move_first(page, saltmarsh)
    settled(page)
    after = saltmarsh.read_text()
    assert re.findall("#.*", after) == re.findall("#.*", before)
    changed = [line for line, old in zip(after.splitlines(), before.splitlines(), strict=True) if line != old]
    assert len(changed) == 1


def test_a_killed_board_loses_nothing_that_was_drawn(open_board, open_page, saltmarsh):
    opened = saltmarsh.read_bytes()
    board = open_board(saltmarsh)
    page = open_page(board)
    with page.expect_response("**/api/keep"):
        move_first(page, saltmarsh)
    with page.expect_response("**/api/keep"):
        page.keyboard.press("Shift+ArrowRight")
    board.process.kill()
    board.process.wait()
    assert saltmarsh.read_bytes() == opened, "it was killed before it could save"
    expected = load_plan(saltmarsh)[0].obstacles[0].at[0] + 1.1

    again = open_page(open_board(saltmarsh))
    again.wait_for_selector("#undo:not([disabled])")
    assert "Restore" in again.get_attribute("#undo", "title")
    settled(again)
    assert abs(load_plan(saltmarsh)[0].obstacles[0].at[0] - expected) < 1e-9
    again.click("#undo")
    settled(again)
    assert saltmarsh.read_bytes() == opened


def test_work_of_a_killed_board_is_asked_about_when_the_file_was_changed_since(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board)
    with page.expect_response("**/api/keep"):
        move_first(page, saltmarsh)
    board.process.kill()
    board.process.wait()
    theirs = saltmarsh.read_text().replace("ring 2", "ring 3")
    saltmarsh.write_text(theirs)
    again = open_page(open_board(saltmarsh))
    again.click("text=Forget it")
    again.wait_for_selector("dialog[open]", state="detached")
    assert saltmarsh.read_text() == theirs
    assert not next(saltmarsh.parent.glob(".*.journal")).read_bytes()


def test_a_file_that_was_changed_outside_is_asked_about_and_theirs_can_be_taken(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    theirs = saltmarsh.read_text().replace("ring 2", "ring 3")
    saltmarsh.write_text(theirs)
    page.click("text=Take the one on the disk")
    page.wait_for_selector("#title >> text=ring 3")
    assert saltmarsh.read_text() == theirs
    page.click("#undo")
    settled(page)
    assert saltmarsh.read_text() == theirs.replace("ring 3", "ring 2")


def test_a_file_that_was_changed_outside_is_never_overwritten_unasked_and_ours_can_be_kept(
    open_board, open_page, saltmarsh
):
    page = open_page(open_board(saltmarsh))
    theirs = "# a word of somebody else\n" + saltmarsh.read_text().replace("ring 2", "ring 3")
    saltmarsh.write_text(theirs)
    page.wait_for_selector("dialog[open]")
    assert saltmarsh.read_text() == theirs
    page.click("text=Keep mine")
    settled(page)
    assert saltmarsh.read_text() == theirs.replace("ring 3", "ring 2")


def test_a_file_that_was_broken_outside_is_told_and_ours_can_be_kept(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    good = saltmarsh.read_text()
    saltmarsh.write_text("format = 1\n[course]\ntitle = ")
    page.click("text=Take the one on the disk")
    page.wait_for_selector("dialog .trouble >> text=TOML")
    page.click("text=Keep mine")
    settled(page)
    assert saltmarsh.read_text() == good


def test_a_file_that_cannot_be_read_for_a_while_is_saved_and_watched_again(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board)
    before = load_plan(saltmarsh)[0].obstacles[0].at
    aside = saltmarsh.rename(saltmarsh.with_suffix(".aside"))
    saltmarsh.mkdir()  # for the user "root", too, nothing that can be read
    move_first(page, aside)
    page.wait_for_selector("#status >> text=cannot be read")
    assert page.text_content("#saved") == "not saved"
    saltmarsh.rmdir()
    aside.rename(saltmarsh)
    settled(page)  # without another stroke
    assert load_plan(saltmarsh)[0].obstacles[0].at != before
    saltmarsh.write_text(saltmarsh.read_text().replace("ring 2", "ring 3"))
    page.wait_for_selector("dialog[open]")
    assert board.end() == 0


def test_when_the_program_is_gone_no_old_verdict_stands_for_what_is_drawn(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board)
    assert page.text_content("#verdict") == "legal"
    board.process.kill()
    page.wait_for_selector("#status >> text=what is drawn now is kept nowhere")
    move_first(page, saltmarsh)
    page.wait_for_selector("#reason >> text=not judged")
    assert page.text_content("#verdict") == "…"
    assert page.text_content("#saved") == "not saved"


def test_a_second_window_reads_only_and_draws_when_the_first_is_gone(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    first = open_page(board)
    second = open_page(board)
    second.wait_for_selector("#saved >> text=reads only")
    before = saltmarsh.read_bytes()
    press(second, *load_plan(saltmarsh)[0].obstacles[0].at)
    second.keyboard.press("ArrowRight")
    drag(second, load_plan(saltmarsh)[0].obstacles[0].at, (10, 10))
    assert second.is_disabled("#undo")
    assert second.is_disabled("[data-kind=jump]")
    move_first(first, saltmarsh, "Shift+ArrowRight")
    settled(first)
    assert saltmarsh.read_bytes() != before
    x = load_plan(saltmarsh)[0].obstacles[0].at[0]
    second.wait_for_selector(f"[transform^='translate({x:g} ']")
    first.context.close()
    second.wait_for_selector("#saved >> text=saved")
    assert second.is_enabled("[data-kind=jump]")


def test_a_second_board_on_the_same_file_reads_only_and_follows(open_board, open_page, saltmarsh):
    first = open_page(open_board(saltmarsh))
    second = open_page(open_board(saltmarsh))
    second.wait_for_selector("#saved >> text=reads only")
    move_first(first, saltmarsh, "Shift+ArrowRight")
    settled(first)
    x = load_plan(saltmarsh)[0].obstacles[0].at[0]
    second.wait_for_selector(f"[transform^='translate({x:g} ']")


def test_a_page_that_is_loaded_again_shows_what_was_drawn(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    move_first(page, saltmarsh)
    settled(page)
    page.reload()
    x = load_plan(saltmarsh)[0].obstacles[0].at[0]
    page.wait_for_selector(f"[transform^='translate({x:g} ']")
    page.wait_for_selector("#saved >> text=/^saved$/")


def test_ctrl_c_saves_what_was_just_drawn(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board)
    x = load_plan(saltmarsh)[0].obstacles[0].at[0]
    with page.expect_response("**/api/keep"):
        move_first(page, saltmarsh)
    assert board.end() == 0
    assert load_plan(saltmarsh)[0].obstacles[0].at[0] == x + 0.1
    assert [path.name for path in saltmarsh.parent.iterdir()] == [saltmarsh.name]


def test_what_is_no_plan_is_told_and_taken_back(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board)
    page.focus("[data-id=t1]")
    page.keyboard.press("Enter")
    page.fill("[data-key='size bend']", "400")
    page.keyboard.press("Enter")
    page.wait_for_selector("#undo[disabled]")
    bend = load_plan(saltmarsh)[0].obstacle("t1").sizes["bend"]
    assert page.input_value("[data-key='size bend']") == f"{bend:g}"
    assert page.is_disabled("#redo")
    assert "crosses itself" in page.text_content("#status")


def test_the_papers_are_those_of_the_command_line(open_board, open_page, saltmarsh, tmp_path):
    import subprocess
    import sys

    page = open_page(open_board(saltmarsh))
    move_first(page, saltmarsh)
    page.click("#tab-plan")
    with page.expect_download() as download:
        page.click("[data-key='paper report']")
    printed = download.value.path().read_bytes()
    report = tmp_path / "report.html"
    subprocess.run(
        [sys.executable, "-m", "coursecheck", "report", str(saltmarsh), "-o", str(report)],
        check=True,
        capture_output=True,
    )
    assert printed == report.read_bytes()


def test_all_papers_come_in_one_archive(open_board, saltmarsh):
    import io
    import zipfile

    board = open_board(saltmarsh)
    status, data = board.request("GET", f"/{board.token}/api/papers/all")
    assert status == 200
    names = zipfile.ZipFile(io.BytesIO(data)).namelist()
    assert len(names) > 3
    assert any(name.endswith(".svg") for name in names)


def test_a_course_is_changed_by_touch_on_a_telephone(open_board, open_page, saltmarsh):
    board = open_board(saltmarsh)
    page = open_page(board, viewport={"width": 390, "height": 760}, has_touch=True, is_mobile=True)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    name = load_plan(saltmarsh)[0].obstacles[0].id
    here = screen(page, *load_plan(saltmarsh)[0].obstacles[0].at)
    page.touchscreen.tap(*here)
    assert chosen(page) == [name]
    page.tap("#tab-obstacle")
    page.tap("text=Turn right")
    settled(page)
    assert load_plan(saltmarsh)[0].obstacles[0].bearing_deg == 15
    page.tap("#tab-store")
    page.tap("[data-kind=table]")
    page.touchscreen.tap(*screen(page, 14, 22))
    settled(page)
    assert load_plan(saltmarsh)[0].obstacles[-1].kind == "table"


def test_words_of_the_file_are_shown_as_text(open_board, open_page, saltmarsh):
    hostile = "<img src=x onerror=alert(1)><script>alert(2)</script>"
    saltmarsh.write_text(
        saltmarsh.read_text().replace("Saltmarsh Spring Show, ring 2", hostile)
        + f'\n[[ring.blocked]]\nname = "{hostile}"\ncentre = [15.0, 20.0]\nradius = 0.5\n'
    )
    page = open_page(open_board(saltmarsh))
    page.on("dialog", lambda dialog: (_ for _ in ()).throw(AssertionError(dialog.message)))
    page.click("#tab-plan")
    assert page.text_content("#title") == hostile
    assert page.input_value("[data-key=title]") == hostile
    assert page.query_selector("img, body script") is None
