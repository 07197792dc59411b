"""Prints the papers of the sample courses as PDF files; a process of its own, so that it has fonts of its own.

FONTCONFIG_FILE=tests/golden/fonts.conf python tests/golden/printing.py FOLDER
"""

import sys
from dataclasses import replace
from pathlib import Path

from coursecheck.checking import check
from coursecheck.course.model import Origin
from coursecheck.papers import PaperOptions, make_papers
from coursecheck.plans import load_plan
from coursecheck.resources import sample

WANTED = {
    "saltmarsh": ("plan", "setting-out", "equipment", "clipboard", "submission", "report"),
    "granary": ("plan", "report"),
    "meadow": ("plan", "report"),
    "draft-with-faults": ("plan", "report"),
}
"""Which papers of which sample."""


def judged(name):
    """The sample's verdict, with figures in place of the hashes, which change with every comment in a file."""
    verdict = check(*load_plan(sample(name)))
    course = replace(verdict.course, origin=Origin(f"{name}.course.toml", "0123456789abcdef" * 4))
    return replace(verdict, course=course, rulebook=replace(verdict.rulebook, sha256="fedcba9876543210" * 4))


def main():
    place = Path(sys.argv[1])
    for name, papers in WANTED.items():
        verdict = judged(name)
        options = PaperOptions(rejudge=lambda course, rulebook=verdict.rulebook: check(course, rulebook))
        for file, content in make_papers(verdict, options, papers, ["pdf"]):
            (place / f"{name}-{file}").write_bytes(content)


if __name__ == "__main__":
    main()
