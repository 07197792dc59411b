"""The judge's papers: what is printed, handed over or carried into the ring.

A paper takes a verdict and its options and gives a text or bytes; it neither measures nor judges. Each is one line in
PAPERS, and its module is imported when it is asked for.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from coursecheck.errors import UsageError
from coursecheck.language import either, say

if TYPE_CHECKING:
    from coursecheck.course.model import Course
    from coursecheck.verdict.model import Verdict

__all__ = ["FORMATS", "PAPERS", "SIZES_MM", "UNASKED", "Paper", "PaperOptions", "make_papers"]

SIZES_MM: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
)
"""Width and height of the papers, upright."""

UNASKED = ("html", "svg", "geojson", "csv")
"""The formats that are written when none is asked for: those that need nothing beside the program."""


@dataclass(frozen=True, slots=True)
class PaperOptions:
    """How the papers are wanted.

    Attributes:
        paper: one of SIZES_MM.
        height: the height class whose line and sizes a paper shows; None: the last of the verdict.
        line: whether the plan shows the dog's line; the plan for competitors does not.
        origin: latitude and longitude of the ring's origin in degrees, for exchange in WGS 84; None: local metres.
        north_deg: the true bearing of up the plan, clockwise from north.
        rejudge: judges a changed plan by the same rules and options; None where nobody can.
    """

    paper: str = "a4"
    height: str | None = None
    line: bool = True
    origin: tuple[float, float] | None = None
    north_deg: float = 0.0
    rejudge: Callable[[Course], Verdict] | None = None

    def height_of(self, verdict: Verdict) -> str:
        """The height class that a paper shows.

        Raises:
            UsageError: the verdict has no such class.
        """
        classes = list(verdict.scenes)
        height = classes[-1] if self.height is None else self.height
        if height not in classes:
            known = ", ".join(classes)
            raise UsageError(
                say("no height class {word!r} in this plan; it is judged for {known}", word=height, known=known)
            )
        return height


Render = Callable[["Verdict", PaperOptions], "str | bytes"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper.

    Attributes:
        title: its name in words.
        formats: each format that it comes in, with where its function lies: "module:function" in this package. The
            function takes the verdict and the options and gives the content of the file.
    """

    title: str
    formats: Mapping[str, str]

    @property
    def forms(self) -> tuple[str, ...]:
        """Every format that it can be had in: its own, and those that are made from them."""
        made = [form for form, (source, _) in MADE_FROM.items() if source in self.formats]
        return tuple(dict.fromkeys((*self.formats, *made)))

    def render(self, form: str, verdict: Verdict, options: PaperOptions) -> bytes:
        """The content of the file in one of its formats."""
        if form not in self.formats:
            source, maker = MADE_FROM[form]
            module, _, name = maker.partition(":")
            made: bytes = getattr(importlib.import_module(f"{__name__}.{module}"), name)(
                self.render(source, verdict, options).decode()
            )
            return made
        module, _, name = self.formats[form].partition(":")
        function: Render = getattr(importlib.import_module(f"{__name__}.{module}"), name)
        content = function(verdict, options)
        return content.encode() if isinstance(content, str) else content


PAPERS: Mapping[str, Paper] = MappingProxyType(
    {
        "plan": Paper(
            "the plan",
            {
                "html": "plan_sheet:render",
                "png": "plan_sheet:picture",
                "svg": "svg_export:render",
                "dxf": "dxf:render",
                "geojson": "geojson:render",
                "csv": "csv_points:render",
            },
        ),
        "setting-out": Paper("the setting-out sheet", {"html": "setting_out:render"}),
        "equipment": Paper("the equipment and crew list", {"html": "equipment_list:render"}),
        "clipboard": Paper("the clipboard card", {"html": "clipboard:render"}),
        "submission": Paper("the submission sheet", {"html": "submission:render"}),
        "report": Paper("the judge's report", {"html": "report:render"}),
    }
)
"""All papers by name; the name is that of the file."""

MADE_FROM: Mapping[str, tuple[str, str]] = MappingProxyType({"pdf": ("html", "pdf:pdf_of")})
"""Formats that are made from another one: which, and by which function of this package."""

FORMATS = ("html", "pdf", "svg", "png", "dxf", "geojson", "csv")
"""All formats that a paper may come in."""


def make_papers(
    verdict: Verdict, options: PaperOptions, names: Iterable[str] = (), formats: Iterable[str] = ()
) -> Iterator[tuple[str, bytes]]:
    """Makes papers, one after the other.

    Args:
        verdict: what they tell.
        options: how they are wanted.
        names: which papers; none named: all.
        formats: in which formats; none named: UNASKED.

    Yields:
        The name of each file and its content.

    Raises:
        UsageError: no paper or no format of that name, or none of the papers comes in any of these formats.
        MissingPackageError: a format needs something that is not installed.
    """
    wanted, forms = tuple(names) or tuple(PAPERS), tuple(formats) or UNASKED
    unknown = [name for name in wanted if name not in PAPERS]
    if unknown:
        known = ", ".join(PAPERS)
        raise UsageError(say("there is no paper {word!r}; there are {known}", word=unknown[0], known=known))
    strange = [form for form in forms if form not in FORMATS]
    if strange:
        known = ", ".join(FORMATS)
        raise UsageError(say("there is no format {word!r}; there are {known}", word=strange[0], known=known))
    chosen = [(name, form) for name in PAPERS if name in wanted for form in PAPERS[name].forms if form in forms]
    if not chosen:
        papers = ", ".join(wanted)
        raise UsageError(say("{papers} cannot be had as {forms}", papers=papers, forms=either(forms)))
    for name, form in chosen:
        yield f"{name}.{form}", PAPERS[name].render(form, verdict, options)
