"""How quickly the board answers a hand: first paint, drag steps to repainted findings, and whether memory stays flat.

Run: python tests/benchmarks/bench_board.py [STEPS]. Prints figures and asserts nothing. A step is one move of the
pointer with an obstacle of twenty held, judged for three height classes, the list of findings in view; it ends when
the frame that shows the new findings has been painted. A screen paints 60 times a second, and a step begins with a
beat: what is in the page within 33 ms is painted with the second beat, at about 34.7 ms, never earlier. So when the
findings were in the page is told, too. The clock on the wall tells of a quiet machine only, so processor time stands
beside it.
"""

import copy
import math
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
from chromium import Chromium

from coursecheck.board.answer import Judge, difference
from coursecheck.board.desk import Desk
from coursecheck.resources import sample

HELD = 7  # the obstacle that is moved, in the order of the course

DRAG = """async ([held, steps]) => {
  const svg = document.querySelector("#sheet");
  const group = svg.querySelectorAll(".obstacle")[held];
  const box = group.getBoundingClientRect();
  const at = [box.x + box.width / 2, box.y + box.height / 2];
  const send = (type, [x, y]) => group.dispatchEvent(new PointerEvent(type, {
    bubbles: true, pointerId: 1, pointerType: "mouse", button: 0, clientX: x, clientY: y,
  }));
  const judged = () => new Promise((done) => {
    const observer = new MutationObserver(() => {
      if (document.body.dataset.judging) return;
      observer.disconnect();
      done();
    });
    observer.observe(document.body, { attributeFilter: ["data-judging"] });
  });
  const painted = () => new Promise((done) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = done;
    port2.postMessage(0);
  }));
  let arrived = 0;
  const parse = JSON.parse;
  JSON.parse = (text) => { // first of all, the page reads the answer
    arrived = performance.now();
    return parse(text);
  };
  svg.setPointerCapture = () => {};
  send("pointerdown", at);
  const rows = [];
  for (let i = 1; i <= steps; i += 1) {
    await painted();
    const marks = [performance.now()];
    send("pointermove", [at[0] + 30 * Math.sin(i / 9), at[1] + 30 * Math.sin(i / 7)]);
    marks.push(performance.now());
    await judged();
    marks.push(arrived, performance.now());
    await painted();
    marks.push(performance.now());
    rows.push(marks);
  }
  send("pointerup", at);
  JSON.parse = parse;
  return rows;
}"""
WATCH = """
  window.painted = {};
  const when = (name, selector) => new MutationObserver((_, observer) => {
    if (!document.querySelector(selector)) return;
    observer.disconnect();
    const note = () => (window.painted[name] = performance.timeOrigin + performance.now());
    requestAnimationFrame(() => setTimeout(note));
  }).observe(document, { subtree: true, childList: true, attributes: true });
  when("drawn", "#obstacles .obstacle");
  when("judged", "#sheet[data-ready]");
"""
"""Notes when obstacles and the first verdict were painted first."""

STAGES = ("the page moves the obstacle", "the program answers", "the page takes the answer", "it is painted")


def memory_mb(pid: int) -> float:
    """What a process holds, in MB; Linux alone."""
    status = Path(f"/proc/{pid}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+)", status)
    return int(found[1]) / 1024 if found else float("nan")


def family(pid: int) -> list[int]:
    """A process and all that it started; Linux alone."""
    children = [
        child for task in Path(f"/proc/{pid}/task").iterdir() for child in (task / "children").read_text().split()
    ]
    return [pid, *(each for child in children for each in family(int(child)))]


def processor_s(pids: list[int]) -> float:
    """The processor time that processes have used; Linux alone."""
    rows = [Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split() for pid in pids]
    return sum(int(row[11]) + int(row[12]) for row in rows) / os.sysconf("SC_CLK_TCK")


def quantiles(times_ms: list[float]) -> str:
    """The median and what one of twenty exceeds, in words."""
    return f"p50 {statistics.median(times_ms):.1f} ms, p95 {sorted(times_ms)[int(0.95 * len(times_ms))]:.1f} ms"


def program_stages() -> None:
    """Where the processor time of one step goes in the program, all classes after each other."""
    with tempfile.TemporaryDirectory() as place:
        desk = Desk(Path(shutil.copy(sample("saltmarsh"), place)))
        judge = Judge(desk.library, desk.file, helpers=0)
        spent: dict[str, list[float]] = {}

        def timed(stage: str, work: Callable[..., Any], *arguments: Any) -> Any:
            start = time.process_time()
            done = work(*arguments)
            spent.setdefault(stage, []).append(1000 * (time.process_time() - start))
            return done

        before: dict[str, object] = {}
        for i in range(60):
            plan = copy.deepcopy(desk.current)
            x, y = plan["obstacle"][HELD]["at"]
            plan["obstacle"][HELD]["at"] = [round(x + 1.2 * math.sin(i / 9), 2), round(y + 1.2 * math.sin(i / 7), 2)]
            course, book = timed("read the plan", desk.library.course, plan)
            answer = timed("judge and answer", judge.answer, course, book, "large")
            new = timed("find what is new", difference, before, answer)
            data = timed("encode it", msgspec.json.encode, new)
            before = answer
        desk.close()
    print("the program, processor time of one step:")
    for stage, times in spent.items():
        late = sorted(times[10:])
        print(f"  {stage}: least {late[0]:.1f} ms, median {statistics.median(late):.1f} ms")
    print(f"  the answer: {len(data)} bytes")


def main(steps: int) -> None:
    program_stages()
    with (
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place,
        Chromium(Path(place, "profile")) as browser,
    ):
        file = shutil.copy(sample("saltmarsh"), place)
        time.sleep(3.0)  # until the browser rests
        start = time.time()
        command = [sys.executable, "-m", "coursecheck", "board", file, "--no-open"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as board:
            browser.open(re.search(r"http\S+", board.stdout.readline())[0], WATCH)
            time.sleep(2.0)  # nobody asks it anything meanwhile
            painted = browser.wait_for("window.painted.drawn && window.painted.judged && window.painted")
            drawn, judged = (painted[name] / 1000 - start for name in ("drawn", "judged"))
            print(f"after the command: obstacles painted {drawn:.2f} s, first verdict {judged:.2f} s")
            browser.evaluate("document.querySelector('#tab-findings').click()")
            browser.evaluate(f"({DRAG})([{HELD}, 50])")
            program, everything = family(board.pid), family(os.getpid())
            memory = [sum(map(memory_mb, program))]
            used = processor_s(program), processor_s(everything)
            rows = []
            for _half in range(2):
                rows += browser.evaluate(f"({DRAG})([{HELD}, {steps // 2}])")
                memory.append(sum(map(memory_mb, program)))
            print(f"{steps} drag steps to repainted findings: {quantiles([row[-1] - row[0] for row in rows])}")
            in_page = quantiles([row[-2] - row[0] for row in rows])
            print(f"  in the page already: {in_page}; at the median of each")
            for i, stage in enumerate(STAGES):
                print(f"  {stage}: {statistics.median(row[i + 1] - row[i] for row in rows):.1f} ms")
            ours = processor_s(program) - used[0]
            others = processor_s(everything) - used[1] - ours
            print(f"processor time of a step: program {1000 * ours / steps:.1f} ms, ", end="")
            print(f"browser {1000 * others / steps:.1f} ms")
            print(
                "memory of the program: {:.0f} MB after 50 steps, {:.0f} half way, {:.0f} at the end".format(*memory)
            )
            board.terminate()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
