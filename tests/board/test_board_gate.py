"""Nobody but the board's own page can use it, and nothing that is sent to it breaks it."""

import base64
import json
import re
import shutil

import pytest
from websockets.exceptions import ConnectionClosedError

from coursecheck.resources import sample

START = "/{token}/api/start"
KEEP = "/{token}/api/keep"


@pytest.fixture(scope="module")
def board(started, tmp_path_factory):
    """One board for all strangers: none of them may change anything."""
    file = shutil.copy(sample("saltmarsh"), tmp_path_factory.mktemp("board") / "saltmarsh.course.toml")
    with started(file) as running:
        yield running


def test_the_address_is_of_this_machine_alone_and_cannot_be_guessed(open_board, saltmarsh):
    first, second = open_board(saltmarsh), open_board("other.course.toml")
    assert first.token != second.token
    assert len(first.token) >= 32


@pytest.mark.parametrize(
    ("method", "path", "headers", "status"),
    [
        ("GET", "/", {}, 403),
        ("GET", "/api/start", {}, 403),
        ("GET", "/wrong-token/api/start", {}, 403),
        ("GET", "/main.js", {}, 403),
        ("GET", START, {"origin": "http://example.org"}, 403),
        ("GET", START, {"origin": "null"}, 403),
        ("GET", START, {"host": "board.example.org"}, 421),
        ("GET", START, {"host": "127.0.0.1:1"}, 421),
        ("POST", "/wrong-token/api/keep", {}, 403),
        ("POST", KEEP, {"origin": "http://example.org"}, 403),
        ("POST", KEEP, {"origin": ""}, 403),
        ("POST", KEEP, {"content-type": "text/plain"}, 415),
        ("PUT", KEEP, {}, 405),
        ("DELETE", START, {}, 405),
        ("GET", "/{token}/../app.py", {}, 404),
        ("GET", "/{token}/%2e%2e/app.py", {}, 404),
        ("GET", "/{token}/api/papers/passwd", {}, 400),
        ("GET", "/{token}/api/events", {}, 400),
    ],
)
def test_a_stranger_is_refused_and_changes_nothing(board, method, path, headers, status):
    before = board.file.read_bytes()
    own = {"origin": f"http://127.0.0.1:{board.port}", "content-type": "application/json"}
    sent = {**(own if method == "POST" else {}), **headers}
    answer, _ = board.request(method, path.format(token=board.token), b"{}" if method != "GET" else None, sent)
    assert answer == status
    assert board.file.read_bytes() == before


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", 400),
        (b"{", 400),
        (b"\xff\xfe", 400),
        (b"[]", 400),
        (b"{}", 400),
        (b'{"plan": 7}', 400),
        (b"[" * 100_000, 400),
        (b'{"plan": {"format": 1, "speed": NaN}}', 400),
        (b'{"plan": {}}', 422),
        (b'{"plan": {"format": 1, "course": {}, "ring": {"size": [1e999, 1]}}}', 422),
        (b" " * ((1 << 20) + 1), 413),
    ],
    ids=range(11),
)
def test_what_is_no_plan_gets_a_clear_refusal(board, body, status):
    headers = {"content-type": "application/json", "origin": f"http://127.0.0.1:{board.port}"}
    answer, text = board.request("POST", f"/{board.token}/api/walk", body, headers)
    assert answer == status
    assert text.strip()
    assert board.start()["plan"]["course"]["title"] == "Saltmarsh Spring Show, ring 2"


def test_a_request_without_a_window_that_draws_keeps_nothing(board):
    before = board.file.read_bytes()
    plan = board.start()["plan"]
    plan["course"]["title"] = "Taken over"
    assert board.post("keep", {"plan": plan, "window": "a" * 24, "now": True})[0] == 409
    assert board.post("settle", {"choice": "ours", "plan": plan, "window": ""})[0] == 409
    assert board.file.read_bytes() == before


def test_the_page_may_load_nothing_from_elsewhere(board):
    import urllib.request

    with urllib.request.urlopen(board.url) as response:  # noqa: S310
        policy = response.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy
    assert set(re.findall(r"ws://\S+?(?=[ ;])", policy)) == {
        f"ws://{name}:{board.port}" for name in ("127.0.0.1", "localhost")
    }


def test_the_board_says_what_the_command_line_says(board, saltmarsh):
    from coursecheck import check, load_plan
    from coursecheck.units import format_figure

    plan = board.start()["plan"]
    plan["obstacle"][7]["at"] = [22.5, 20.0]
    answer = board.judged(plan)

    moved = saltmarsh.with_name("moved.course.toml")
    text = saltmarsh.read_text()
    at = json.dumps(board.start()["plan"]["obstacle"][7]["at"])
    assert text.count(f"at = {at}") == 1
    moved.write_text(text.replace(f"at = {at}", "at = [22.5, 20.0]"))
    verdict = check(*load_plan(moved))
    assert answer["legal"] == verdict.legal
    assert [row["length"] for row in answer["lengths"]] == [format_figure(x.length_m, "m") for x in verdict.lengths]
    said = {line["figures"] for finding in answer["findings"] for line in finding["lines"]}
    shown = ("breach", "close", "unmeasurable")
    assert said == {finding.figures for finding in verdict.findings if finding.outcome in shown}


def test_ctrl_c_ends_it_cleanly_and_leaves_nothing_behind(open_board, saltmarsh):
    board = open_board(saltmarsh)
    board.start()
    assert board.end() == 0
    assert [path.name for path in saltmarsh.parent.iterdir()] == [saltmarsh.name]


def test_a_port_in_use_is_a_message_and_status_2(board, tmp_path):
    import subprocess
    import sys

    again = subprocess.run(
        [sys.executable, "-m", "coursecheck", "board", str(tmp_path / "b.course.toml"), "--port", str(board.port)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert again.returncode == 2
    assert str(board.port) in again.stderr


def test_what_a_window_knows_already_is_not_sent_again(board):
    plan = board.start()["plan"]
    with board.line() as ask:
        known = ask({"plan": plan, "shown": "large"})
        assert known["whole"]
        plan["obstacle"][7]["at"] = [22.5, 20.0]
        news = ask({"plan": plan, "shown": "large"})
        assert not news["whole"]
        assert not {"ring", "obstacles", "symbols", "uncovered", "classes"} & set(news)
        assert {**known, **news, "whole": True} == board.judged(plan), "another window was told nothing yet"


@pytest.mark.parametrize(
    ("sent", "error"),
    [
        ("", "that is no JSON"),
        ("[]", "send an object"),
        ("[" * 100_000, "that is no JSON"),
        ("{}", "there is no plan in it"),
        ('{"plan": {"format": 1, "speed": NaN}}', "that is no JSON"),
        ('{"plan": {}}', "format"),
    ],
    ids=range(6),
)
def test_what_is_no_plan_is_refused_and_the_next_one_judged(board, sent, error):
    plan = board.start()["plan"]
    with board.line() as ask:
        before = ask({"plan": plan})
        assert error in ask(sent)["error"]
        assert ask({"plan": plan}) == {"whole": False}
    assert before == board.judged(plan)


def test_a_plan_that_is_overtaken_is_answered_with_that_word_and_the_next_one_judged(board):
    plan = board.start()["plan"]
    tangled = {**plan, "obstacle": [{**one, "at": plan["obstacle"][0]["at"]} for one in plan["obstacle"]]}
    with board.line() as ask:
        assert ask({"plan": tangled}, "overtaken") == {"overtaken": True}
        assert ask("overtaken", {"plan": plan}) == board.judged(plan), "what was answered cannot be overtaken"


def test_a_plan_that_is_too_long_ends_the_line_and_nothing_else(board):
    with board.line() as ask, pytest.raises(ConnectionClosedError, match="1009"):
        ask(" " * ((1 << 20) + 1))
    assert board.judged(board.start()["plan"])["whole"]


@pytest.mark.parametrize(
    ("path", "headers", "status"),
    [
        ("/api/judging", {}, 403),
        ("/wrong-token/api/judging", {}, 403),
        ("/{token}/api/judging", {"origin": None}, 403),
        ("/{token}/api/judging", {"origin": "http://example.org"}, 403),
        ("/{token}/api/judging", {"origin": "null"}, 403),
        ("/{token}/api/judging", {"host": "board.example.org"}, 421),
    ],
)
def test_a_stranger_gets_no_line(board, path, headers, status):
    sent = {
        "connection": "Upgrade",
        "upgrade": "websocket",
        "sec-websocket-version": "13",
        "sec-websocket-key": base64.b64encode(bytes(16)).decode(),
        "origin": f"http://127.0.0.1:{board.port}",
        **headers,
    }
    kept = {name: value for name, value in sent.items() if value is not None}
    answer, why = board.request("GET", path.format(token=board.token), None, kept)
    assert answer == status
    assert why.strip()
