"""The command `schema`."""

from __future__ import annotations

import json

import click

from coursecheck.cli import spoken
from coursecheck.cli.options import write

__all__ = ["command"]


@spoken.command("schema")
@spoken.argument("what", type=click.Choice(["course", "rulebook", "result", "walk", "waivers"]))
def command(what: str) -> None:
    """Print the JSON Schema of a course file, of a rulebook, of waivers, or of the JSON that check or walk gives."""
    if what == "course":
        from coursecheck.course.document import course_schema
        from coursecheck.equipment import KINDS

        schema = course_schema(KINDS)
    elif what == "rulebook":
        from coursecheck.rulebook.document import rulebook_schema

        schema = rulebook_schema()
    elif what == "waivers":
        from coursecheck.verdict.waivers import waivers_schema

        schema = waivers_schema()
    elif what == "walk":
        from coursecheck.reports.walk_schema import walk_schema

        schema = walk_schema()
    else:
        from coursecheck.reports.as_json import json_schema

        schema = json_schema()
    write(json.dumps(schema, indent=2, sort_keys=True), None)
