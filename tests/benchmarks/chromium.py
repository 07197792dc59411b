"""Chromium without a test tool in between, which would take a share of the time that is to be measured.

It is spoken to over a pipe, in the Chrome DevTools Protocol; only what is called here is switched on.
"""

import fcntl
import json
import os
import shutil
import subprocess
import time
from pathlib import Path
from typing import Any, Self

SWITCHES = (
    *("--headless", "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync", "--window-size=1280,800", "--remote-debugging-pipe"),
)
COMMANDS, ANSWERS = 3, 4  # the descriptors that Chromium reads from and writes to


class Chromium:
    """A browser with one page.

    Args:
        profile: an empty folder that it may use.
    """

    def __init__(self, profile: Path) -> None:
        theirs_in, ours_out = os.pipe()
        ours_in, theirs_out = os.pipe()

        def hand_over() -> None:
            ends = [fcntl.fcntl(end, fcntl.F_DUPFD, 10) for end in (theirs_in, theirs_out)]
            for end, number in zip(ends, (COMMANDS, ANSWERS), strict=True):
                os.dup2(end, number)

        command = [shutil.which("chromium") or "chromium", *SWITCHES, f"--user-data-dir={profile}", "about:blank"]
        self.process = subprocess.Popen(
            command,
            preexec_fn=hand_over,  # noqa: PLW1509  # no thread runs yet
            close_fds=False,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(theirs_in)
        os.close(theirs_out)
        self._out, self._in = os.fdopen(ours_out, "wb", buffering=0), os.fdopen(ours_in, "rb")
        self._calls, self._session = 0, ""
        self._call("Browser.getVersion")  # it is there

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.terminate()
        self.process.wait()

    def open(self, address: str, watching: str = "") -> None:
        """Opens a page; from then on it is the one that is asked. The script `watching` is run before its own."""
        target = self._call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self._call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        self._call("Page.addScriptToEvaluateOnNewDocument", source=watching)
        self._call("Page.enable")
        self._call("Page.navigate", url=address)
        self._call("Page.disable")

    def evaluate(self, script: str) -> Any:
        """The value of an expression in the page, waited for."""
        answer = self._call("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"])
        return answer["result"].get("value")

    def wait_for(self, script: str, within_s: float = 30.0) -> Any:
        """The value of an expression as soon as it is anything."""
        deadline = time.monotonic() + within_s
        while not (value := self.evaluate(script)):
            if time.monotonic() > deadline:
                raise TimeoutError(script)
            time.sleep(0.1)
        return value

    def _call(self, method: str, **parameters: object) -> dict[str, Any]:
        self._calls += 1
        message = {"id": self._calls, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        self._out.write(json.dumps(message).encode() + b"\0")
        while (answer := self._heard()).get("id") != self._calls:
            pass
        if "error" in answer:
            raise RuntimeError(answer["error"])
        result: dict[str, Any] = answer["result"]
        return result

    def _heard(self) -> dict[str, Any]:
        message = bytearray()
        while (byte := self._in.read(1)) != b"\0":
            if not byte:
                raise EOFError("the browser is gone")
            message += byte
        answer: dict[str, Any] = json.loads(message)
        return answer
