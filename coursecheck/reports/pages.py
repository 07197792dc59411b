"""How a paper becomes a page: templates and style sheets, filled in and escaped."""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING, Any

from coursecheck.reports.wording import printable
from coursecheck.resources import folder

if TYPE_CHECKING:
    from jinja2 import Environment

__all__ = ["render_page"]

BEFORE_A_UNIT = re.compile(r"(?<=\d) (?=(?:m²?|cm|ft²?|s|m/s|yd/s)(?!\w))")
"""The space between a figure and its unit, at which no line of a page breaks."""


def render_page(template: str, *styles: str, drawings: dict[str, str] | None = None, **context: Any) -> str:
    """A whole HTML document that needs nothing but itself.

    Args:
        template: the name of a template in the folder of reports.
        styles: names of style sheets beside it, in order; the template has them as `style`.
        drawings: texts that are markup already, escaped by their writers, by their names in the template.
        context: everything else; whatever comes from a plan or a rulebook is escaped here.
    """
    from markupsafe import Markup

    home = folder("reports")
    # The style sheets are ours as they ship, and drawings are escaped by those who draw them.
    style = Markup("\n".join((home / name).read_text(encoding="utf-8") for name in styles))  # noqa: S704
    drawn = {name: Markup(text) for name, text in (drawings or {}).items()}  # noqa: S704
    return _environment().get_template(template).render(style=style, **drawn, **context) + "\n"


@functools.cache
def _environment() -> Environment:
    """The templates; made once, as a template is compiled anew in each environment."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    def shown(value: object) -> object:
        if not isinstance(value, str) or isinstance(value, Markup):
            return value
        return BEFORE_A_UNIT.sub("\u00a0", printable(value))

    return Environment(
        loader=FileSystemLoader(folder("reports")),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )
