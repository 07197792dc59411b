"""Prints how long the papers of a course of 20 obstacles take for four height classes. Asserts nothing.

python tests/benchmarks/bench_papers.py
"""

from __future__ import annotations

import resource
import time
from collections.abc import Callable

import coursecheck
from coursecheck.papers import PAPERS, PaperOptions, make_papers
from coursecheck.papers.pdf import pdf_of
from coursecheck.resources import sample
from coursecheck.walk.walking import walk_scenes

RUNS = 5
GOAL_S = {"html": 0.5, "pdf": 3.0}


def least_s(job: Callable[[], object]) -> float:
    """The least processor time of several runs."""
    spent = []
    for _ in range(RUNS):
        started = time.process_time()
        job()
        spent.append(time.process_time() - started)
    return min(spent)


def main() -> None:
    """Prints processor time paper by paper; a PDF with the page that it is made from, the report with its walk."""
    course, rulebook = coursecheck.load_plan(sample("saltmarsh"))
    verdict = coursecheck.check(course, rulebook, heights=list(rulebook.heights))
    options = PaperOptions(rejudge=lambda changed: coursecheck.check(changed, rulebook, heights=list(verdict.scenes)))
    print(f"{len(course.passes)} obstacles, {len(verdict.scenes)} height classes; the plan is judged already")
    pdf_of("<p>Libraries are imported and fonts are known.</p>")
    for form, goal_s in GOAL_S.items():
        total_s = 0.0
        for name in PAPERS:
            spent_s = least_s(lambda name=name, form=form: list(make_papers(verdict, options, [name], [form])))
            total_s += spent_s
            print(f"  {name}.{form}: {spent_s:.2f} s")
        print(f"all as {form}: {total_s:.2f} s; goal under {goal_s} s")
    walk_s = least_s(lambda: walk_scenes(verdict.course, verdict.rulebook, verdict.scenes))
    print(f"of each of these the walk alone: {walk_s:.2f} s")
    print(f"largest: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
