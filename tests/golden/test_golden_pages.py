"""The printed pages as pictures: whoever changes what a page looks like sees it, and looks at it.

When a change is meant, look at the pictures that the message names, then put them on record:

    python -m tests.golden.test_golden_pages

Pages have 72 dots an inch in 16 greys, in the fonts of fonts.conf. Other versions of the libraries that set and draw
text may move an edge by part of a dot: both pictures are blurred by one dot, and of all dots one in ten thousand may
then differ by more than 40 of 255.
"""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.needs import require

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PAGES = HERE / "pages"
SHOWN = ROOT / "out" / "golden"
DOTS_PER_INCH, GREYS = 72, 16
DIFFERENT, SHARE = 40, 1e-4
NUMBER = (slice(350, 362), slice(412, 424))  # a pass number on saltmarsh-plan-1
EDGE = (slice(45, 560), slice(84, 87))  # the left edge of its ring
FIRST_PAGES = {"granary-report": 2, "meadow-report": 2, "draft-with-faults-report": 2}  # of the others all


def print_pages(folder):
    """The pages as grey pictures by name, such as "saltmarsh-plan-1"."""
    fonts = {"FONTCONFIG_FILE": str(HERE / "fonts.conf"), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, str(HERE / "printing.py"), str(folder)]
    subprocess.run(command, check=True, env=os.environ | fonts, timeout=300)
    found = {}
    for pdf in sorted(folder.glob("*.pdf")):
        last = ["-l", str(FIRST_PAGES[pdf.stem])] if pdf.stem in FIRST_PAGES else []
        size = ["-r", str(DOTS_PER_INCH), "-gray", *last]
        subprocess.run(["pdftoppm", *size, pdf, folder / pdf.stem], check=True, timeout=60)
        for page, path in enumerate(sorted(folder.glob(f"{pdf.stem}-*.pgm")), 1):
            found[f"{pdf.stem}-{page}"] = np.asarray(Image.open(path))
    return found


def blurred(picture):
    """The mean of each dot and the eight about it."""
    wide = np.pad(picture.astype(float), 1, mode="edge")
    high, across = picture.shape
    return sum(wide[i : i + high, j : j + across] for i in range(3) for j in range(3)) / 9


def difference(one, other):
    """By how much each dot differs, 0 to 255; everywhere where the pictures are not of one size."""
    if one.shape != other.shape:
        return np.full(other.shape, 255.0)
    return abs(blurred(one) - blurred(other))


def in_greys(picture):
    """The picture in as many greys as are kept."""
    step = 255 // (GREYS - 1)
    return ((picture.astype(int) + step // 2) // step * step).astype(np.uint8)


def save(picture, path):
    """As PNG with a palette of the greys that there are."""
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(in_greys(picture)).quantize(GREYS, dither=Image.Dither.NONE).save(path, optimize=True)


def recorded(name):
    return np.asarray(Image.open(PAGES / f"{name}.png").convert("L"))


NAMES = sorted(path.stem for path in PAGES.glob("*.png"))


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    require("pango", "poppler", "dejavu")
    return print_pages(tmp_path_factory.mktemp("pages"))


def test_every_page_is_on_record(printed):
    assert sorted(printed) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_page_looks_as_it_did_when_it_was_looked_at(printed, name):
    want, got = recorded(name), printed[name]
    off = difference(want, in_greys(got))
    share = (off > DIFFERENT).mean()
    if share > SHARE:
        for sort, picture in (("want", want), ("got", got), ("difference", 255 - np.minimum(off * 2, 255))):
            save(picture, SHOWN / f"{name}-{sort}.png")
        pytest.fail(
            f"{share:.2%} of the page differs: look at {SHOWN}/{name}-want.png, -got.png and -difference.png; "
            f"when it is meant: python -m tests.golden.test_golden_pages"
        )


def without(part):
    def spoil(plan):
        plan[part] = 255
        return plan

    return spoil


def number_moved(plan):
    """By six dots, which are two millimetres."""
    number, (rows, columns) = plan[NUMBER].copy(), NUMBER
    plan[NUMBER] = 255
    plan[rows.start + 6 : rows.stop + 6, columns] = number
    return plan


@pytest.mark.parametrize(
    "spoil",
    [without(NUMBER), number_moved, without(EDGE), lambda plan: plan[:-1], lambda plan: np.roll(plan, 1, axis=0)],
    ids=["a number is gone", "a number has moved", "an edge is gone", "another size of paper", "all moved by a dot"],
)
def test_a_fault_is_seen(spoil):
    plan = recorded("saltmarsh-plan-1")
    assert (difference(plan, spoil(plan.copy())) > DIFFERENT).mean() > SHARE


def test_what_another_version_of_a_library_may_do_is_let_pass():
    """Edges drawn a tenth of a dot further on, and a grey more or less."""
    plan = recorded("saltmarsh-plan-1").astype(float)
    moved = np.clip(0.9 * plan + 0.1 * np.roll(plan, 1, axis=1) + 17, 0, 255)
    assert (difference(plan, moved) > DIFFERENT).mean() <= SHARE


if __name__ == "__main__":
    import tempfile

    for old in PAGES.glob("*.png"):
        old.unlink()
    with tempfile.TemporaryDirectory() as place:
        for page_name, page in print_pages(Path(place)).items():
            save(page, PAGES / f"{page_name}.png")
