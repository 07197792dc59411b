"""Plain tables for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from io import StringIO

__all__ = ["plain_table"]


def plain_table(heads: Sequence[str], rows: Sequence[Sequence[str]], *, colour: bool, width: int = 160) -> str:
    """A table with a rule under its heads, as text; the same for the same input."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for head in heads:
        table.add_column(head, overflow="fold")
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    out = StringIO()
    console = Console(
        file=out, width=width, force_terminal=colour, no_color=not colour, highlight=False, legacy_windows=False
    )
    console.print(table)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"
