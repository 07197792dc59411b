"""Reading what a page shows: its drawings as trees, the boxes of their words, and the page as a browser prints it."""

import re
import shutil
import subprocess
from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np
from shapely import box

from tests.needs import require

# The width of a letter against its size, in the widest of the sans-serif faces that the drawings ask for; the height
# of capitals and figures likewise.
WIDE, HIGH = 0.56, 0.72
SIZES_MM = {"number": 3.5, "name": 2.4, "figure": 2.4, "flag-number": 2.9}


@dataclass
class Element:
    """An element of a drawing."""

    tag: str
    attrs: dict
    text: str = ""
    inside: list = field(default_factory=list)

    def all(self):
        yield self
        for child in self.inside:
            yield from child.all()

    def find(self, tag, class_=""):
        return [e for e in self.all() if e.tag == tag and class_ in ("", *e.attrs.get("class", "").split())]

    def words(self):
        return "".join(e.text for e in self.all())


def parse(source):
    """A text as XML, strictly."""
    stack = [Element("", {})]

    def start(tag, attrs):
        element = Element(tag, attrs)
        stack[-1].inside.append(element)
        stack.append(element)

    def words(data):
        stack[-1].text += data

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.CharacterDataHandler = start, words
    parser.EndElementHandler = lambda _: stack.pop()
    parser.Parse(source, True)
    return stack[0].inside[0]


def drawings(page):
    """The drawings of a page."""
    return [parse(source) for source in re.findall(r"<svg.*?</svg>", page, re.DOTALL)]


def corners(polygon):
    return [tuple(map(float, pair.split(","))) for pair in polygon.attrs["points"].split()]


def word_boxes(drawing, classes=("number", "name", "figure")):
    """Every word of a drawing with the box that its letters fill, in millimetres."""
    found = []
    for element in drawing.find("text"):
        (class_,) = set(element.attrs["class"].split()) & set(SIZES_MM)
        if class_ not in classes:
            continue
        size, (x, y) = SIZES_MM[class_], (float(element.attrs[axis]) for axis in "xy")
        half_w, half_h = WIDE * size * len(element.text) / 2, HIGH * size / 2
        if "from-left" in element.attrs["class"]:
            x += half_w
        if "transform" in element.attrs:
            half_w, half_h = half_h, half_w
        found.append((element.text, box(x - half_w, y - half_h, x + half_w, y + half_h)))
    return found


def printed(page, folder):
    """The PDF that a browser makes of a page; skips where there is no browser, unless all tests must run."""
    require("chromium", "poppler")
    browser = shutil.which("chromium")
    source, pdf = folder / "page.html", folder / "page.pdf"
    source.write_text(page, encoding="utf-8")
    options = ("--headless", "--no-sandbox", "--no-pdf-header-footer", f"--user-data-dir={folder / 'profile'}")
    subprocess.run(
        [browser, *options, f"--print-to-pdf={pdf}", source.as_uri()], check=True, capture_output=True, timeout=90
    )
    return pdf


def page_count(pdf):
    shown = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True, timeout=30).stdout
    return int(re.search(r"Pages:\s+(\d+)", shown).group(1))


def pictures(pdf, dots_per_mm):
    """The pages as grey pictures: arrays of rows, 0 black, 255 white."""
    stem = pdf.with_suffix("")
    subprocess.run(["pdftoppm", "-gray", "-r", str(25.4 * dots_per_mm), pdf, stem], check=True, timeout=60)
    return [_grey(path.read_bytes()) for path in sorted(pdf.parent.glob(f"{stem.name}-*.pgm"))]


def _grey(pgm):
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", pgm)
    width, height = int(head[1]), int(head[2])
    return np.frombuffer(pgm, np.uint8, offset=head.end()).reshape(height, width)
