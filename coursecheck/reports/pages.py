"""How a paper becomes a page: templates and style sheets, filled in and escaped."""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING, Any

from coursecheck.language import capital, clauses, form_for, say, say_as, spoken
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

    environment = Environment(
        loader=FileSystemLoader(folder("reports")),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {"say": _said, "say_count": _said_count, "say_as": say_as, "language": spoken}
    environment.globals["labelled"] = _labelled
    environment.filters |= {"clauses": clauses, "css_string": _css_string, "capital": capital}
    return environment


def _shown(value: object) -> object:
    from markupsafe import Markup

    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    return BEFORE_A_UNIT.sub("\u00a0", printable(value))


def _css_string(words: str) -> str:
    """Words for the margin of a page: a CSS string in which only letters and digits stand as they are."""
    from markupsafe import Markup

    string = "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in printable(words))
    return Markup(f'"{string}"')  # noqa: S704 nothing but letters, digits and escapes


def _said(message: str, /, **values: object) -> str:
    """A sentence of a template, which may hold markup; its fields are escaped when they are filled in."""
    from markupsafe import Markup

    # The sentence is one of ours or its translation.
    return Markup(say(message)).format(**_all_shown(values))  # noqa: S704


def _said_count(one: str, many: str, /, count: int, **values: object) -> str:
    from markupsafe import Markup

    return Markup(form_for(one, many, count)).format(count=count, **_all_shown(values))  # noqa: S704


def _labelled(name: str, words: str) -> str:
    """What something is called, in bold, and what is said of it."""
    from markupsafe import Markup

    return _said("{name}: {words}", name=Markup("<b>{}</b>").format(_shown(name)), words=words)


def _all_shown(values: dict[str, object]) -> dict[str, object]:
    return {name: _shown(value) for name, value in values.items()}
