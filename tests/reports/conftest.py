"""The plan of Gorse Hill, judged by hand, and its report."""

import pytest
from gorse import make_verdict
from pages import Page

from coursecheck.reports.html import render_html


@pytest.fixture(scope="session")
def verdict():
    """The plan, judged by hand: every kind of obstacle, every outcome."""
    return make_verdict()


@pytest.fixture(scope="session")
def page(verdict):
    """Its report, parsed."""
    return Page(render_html(verdict))
