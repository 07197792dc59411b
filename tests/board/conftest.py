"""The board as users have it: the real command in a process of its own, and a real browser."""

import http.client
import json
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright import sync_api
from websockets.sync.client import connect

from coursecheck.resources import sample
from tests.needs import require

ROOT = Path(__file__).parents[2]


@dataclass
class RunningBoard:
    """A `coursecheck board` that was started on a file."""

    process: subprocess.Popen[str]
    file: Path
    said: str
    port: int = field(init=False)
    token: str = field(init=False)

    def __post_init__(self) -> None:
        found = re.search(r"http://127\.0\.0\.1:(\d+)/([^/\s]+)/", self.said)
        assert found, self.said
        self.port, self.token = int(found[1]), found[2]

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/{self.token}/"

    def request(
        self, method: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None
    ) -> tuple[int, bytes]:
        """Any request at all; `path` from the root of the server."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        try:
            connection.request(method, path, body, headers or {})
            response = connection.getresponse()
            return response.status, response.read()
        finally:
            connection.close()

    def post(self, path: str, body: object) -> tuple[int, Any]:
        """A request as the board's own page makes it."""
        headers = {"content-type": "application/json", "origin": f"http://127.0.0.1:{self.port}"}
        status, answer = self.request("POST", f"/{self.token}/api/{path}", json.dumps(body).encode(), headers)
        return status, json.loads(answer)

    @contextmanager
    def line(self) -> Iterator[Callable[..., Any]]:
        """The line on which the board's own page has plans judged: gives what is answered first to what is sent."""
        address, origin = f"ws://127.0.0.1:{self.port}/{self.token}/api/judging", f"http://127.0.0.1:{self.port}"
        with connect(address, origin=origin, compression=None, max_size=None) as socket:  # type: ignore[arg-type]

            def answered(*bodies: object) -> Any:
                for body in bodies:
                    socket.send(body if isinstance(body, str) else json.dumps(body))
                return json.loads(socket.recv(timeout=60))

            yield answered

    def judged(self, plan: object, shown: str = "large") -> Any:
        """What is said of a plan."""
        with self.line() as ask:
            return ask({"plan": plan, "shown": shown})

    def start(self) -> dict[str, Any]:
        """What the page is told first."""
        status, answer = self.request("GET", f"/{self.token}/api/start")
        assert status == 200
        loaded: dict[str, Any] = json.loads(answer)
        return loaded

    def end(self) -> int:
        """Ctrl-C."""
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(15)


@contextmanager
def _started(path: Path, *options: str, program: str = "coursecheck") -> Iterator[RunningBoard]:
    command = [sys.executable, "-m", program, "board", str(path), "--no-open", *options]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as process:
        assert process.stdout
        try:
            yield RunningBoard(process, Path(path), process.stdout.readline())
        finally:
            if process.poll() is None:
                process.kill()


@pytest.fixture(scope="session")
def started() -> Any:
    """Runs a board on a file while a block is done."""
    return _started


@pytest.fixture
def open_board(tmp_path: Path) -> Iterator[Callable[..., RunningBoard]]:
    """Opens a board on a file: with options of the command, or by another program."""
    with ExitStack() as stack:
        yield lambda file, *options, **how: stack.enter_context(_started(tmp_path / file, *options, **how))


@pytest.fixture
def saltmarsh(tmp_path: Path) -> Path:
    """A copy of a sample of 20 obstacles, legal as it is."""
    return Path(shutil.copy(sample("saltmarsh"), tmp_path / "saltmarsh.course.toml"))


@pytest.fixture
def draft(tmp_path: Path) -> Path:
    """A copy of a sample with faults of every sort."""
    return Path(shutil.copy(sample("draft-with-faults"), tmp_path / "draft.course.toml"))


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    require("chromium")
    chromium = shutil.which("chromium")
    with sync_api.sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield launched
        launched.close()


@pytest.fixture
def open_page(browser: Any) -> Iterator[Callable[..., Any]]:
    """Opens a board in a window of its own; anything that goes wrong in the page fails the test."""
    contexts: list[Any] = []
    troubles: list[str] = []

    def opened(board: RunningBoard, **how: Any) -> Any:
        context = browser.new_context(**{"viewport": {"width": 1280, "height": 800}, **how})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.on("request", lambda request: request.url.startswith(board.url) or troubles.append(request.url))
        page.goto(board.url)
        page.wait_for_selector("#sheet[data-ready]")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert [trouble for trouble in troubles if not trouble.startswith("data:")] == []
