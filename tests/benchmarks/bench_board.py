"""How quickly the board answers a hand: first paint, drag steps to repainted findings, and whether memory stays flat.

Run: python tests/benchmarks/bench_board.py [STEPS]. Prints figures and asserts nothing.
"""

import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

from coursecheck.resources import sample

DRAG = """async (steps) => {
  const svg = document.querySelector("#sheet");
  const group = svg.querySelectorAll(".obstacle")[7];
  const box = group.getBoundingClientRect();
  const at = [box.x + box.width / 2, box.y + box.height / 2];
  const send = (type, [x, y]) => group.dispatchEvent(new PointerEvent(type, {
    bubbles: true, pointerId: 1, pointerType: "mouse", button: 0, clientX: x, clientY: y,
  }));
  svg.setPointerCapture = () => {};
  send("pointerdown", at);
  const times = [];
  for (let i = 1; i <= steps; i += 1) {
    const start = performance.now();
    send("pointermove", [at[0] + 30 * Math.sin(i / 9), at[1] + 30 * Math.sin(i / 7)]);
    while (document.body.dataset.judging) await new Promise((done) => setTimeout(done, 0));
    await new Promise(requestAnimationFrame);
    times.push(performance.now() - start);
  }
  send("pointerup", at);
  return times;
}"""


def memory_mb(pid: int) -> float:
    """What a process holds, in MB; Linux alone."""
    status = Path(f"/proc/{pid}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+)", status)
    return int(found[1]) / 1024 if found else float("nan")


def main(steps: int) -> None:
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        file = shutil.copy(sample("saltmarsh"), place)
        start = time.perf_counter()
        command = [sys.executable, "-m", "coursecheck", "board", file, "--no-open"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as board:
            address = re.search(r"http\S+", board.stdout.readline())[0]
            page.goto(address)
            page.wait_for_selector("#obstacles .obstacle", state="attached")
            print(f"first paint after the command: {time.perf_counter() - start:.2f} s")
            page.wait_for_selector("#sheet[data-ready]")
            print(f"first verdict after the command: {time.perf_counter() - start:.2f} s")
            page.evaluate(DRAG, 50)
            before = memory_mb(board.pid)
            times = sorted(page.evaluate(DRAG, steps))
            after = memory_mb(board.pid)
            print(f"{steps} drag steps to repainted findings: p50 {statistics.median(times):.0f} ms, ", end="")
            print(f"p95 {times[int(0.95 * len(times))]:.0f} ms")
            print(f"memory: {before:.0f} MB after 50 steps, {after:.0f} MB after {steps} more")
            board.terminate()
        browser.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
