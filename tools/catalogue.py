"""The catalogues of the other languages: what there is to translate, and what is still untranslated.

    python tools/catalogue.py            # after a change of words: brings every .po up to date, makes .mo and .json
    python tools/catalogue.py --check    # changes nothing; status 1 where a catalogue lacks something or has too much

Words are found in the code and the templates, wherever `say`, `say_count`, `say_as` or `to_say` stands before a
literal; in the board's page, whose scripts have `say` and `sayCount`; in what describes the keys of files; in the
help of commands; in the data: measures, kinds of obstacles, rulebooks, figures of the walk. The .json holds what the
scripts say. Needs Babel.
"""

from __future__ import annotations

import ast
import io
import json
import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from string import Formatter
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from jinja2 import Environment, nodes

from coursecheck.board.page import PAGE, words_in
from coursecheck.cli.spoken import paragraphs
from coursecheck.course.model import Obstacle
from coursecheck.documents.comments import comments_in
from coursecheck.equipment import KINDS, build_shape
from coursecheck.language import DOMAIN, LANGUAGES
from coursecheck.measures import MEASURES
from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.reports.terms import BASES
from coursecheck.rulebook.model import SEVERITIES
from coursecheck.rulebook.vocabulary import PLACES
from coursecheck.walk.figures import load_figures
from coursecheck.walk.handler import HANDLERS

ROOT = Path(__file__).resolve().parent.parent
LOCALE = ROOT / "coursecheck" / "locale"
SCRIPTS = PAGE.parent
SAID_IN_SCRIPT = re.compile(r'\bsay(?:Count)?\(("(?:[^"\\]|\\.)*")(?:, ("(?:[^"\\]|\\.)*"))?')
HOME = ROOT / "coursecheck" / "language.py"
HEADERS = ("Language", "Plural-Forms", "MIME-Version", "Content-Type", "Content-Transfer-Encoding")
"""What a catalogue says of itself: no date and no version of a tool, so that the same words give the same bytes."""

CODES = {
    "severity": SEVERITIES,
    "basis": tuple(BASES),
    "coverage": ("full", "partial"),
    "handler": HANDLERS,
    "unit": ("m", "m/s", "m/s2", "s", "times", "%", "points"),
    "option": (
        "heights",
        "setting-out error",
        "speed",
        "best run",
        "date",
        "select",
        "ignore",
        "waivers",
        "baseline",
    ),
    "gravity": ("error", "warning"),
    "figure": ("published", "practice", "assumption", "changed"),
}
"""Words of the files that are printed, by the context in which they are looked up."""

KEYWORDS = {
    "Meta": ("title", "description"),
    "Option": ("help",),
    "argument": ("metavar",),
    "option": ("help", "metavar"),
    "version_option": ("help",),
}
"""Arguments, by the name of the function, whose words are said when they are shown."""

COMMANDS = ("command", "group")
"""Decorators whose functions are told by their docstrings."""

CLICKS = (
    "[OPTIONS]",
    "COMMAND [ARGS]...",
    "[COMMAND] [ARGS]...",
    "Usage:",
    "Usage: ",
    "Options",
    "Commands",
    "default: {default}",
    "required",
    "Error: {message}",
    "Try '{command} {option}' for help.",
    "Aborted!",
    "Choose from:\n\t{choices}",
    "Invalid value: {message}",
    "Invalid value for {param_hint}: {message}",
    "Missing argument",
    "Missing option",
    "Missing command.",
    "No such command {name!r}.",
    "No such option {name!r}.",
    "Option {name!r} does not take a value.",
    ("Did you mean {possibility}?", "(Did you mean one of: {possibilities}?)"),
    ("Got unexpected extra argument ({args})", "Got unexpected extra arguments ({args})"),
    ("Option {name!r} requires an argument.", "Option {name!r} requires {nargs} arguments."),
    ("{value!r} is not {choice}.", "{value!r} is not one of {choices}."),
)
"""What click says of our commands in its own words, as it looks them up by gettext."""

Said = tuple[str, str | None, str | tuple[str, str]]
"""Where words stand, their context, and they themselves: a pair where there is a form for one and one for many."""


def all_words() -> Iterator[Said]:
    """Everything that is to be translated."""
    for path in sorted((ROOT / "coursecheck").rglob("*.py")):
        yield from _in_python(path)
    for path in sorted((ROOT / "reports").glob("*.jinja")):
        yield from _in_template(path)
    yield from ((_place(PAGE), None, words) for words in words_in(PAGE.read_text(encoding="utf-8")))
    yield from in_scripts()
    yield from (said for said in _in_data() if said[2])


def in_scripts() -> Iterator[Said]:
    """What the scripts of the board's page say."""
    for path in sorted(SCRIPTS.glob("*.js")):
        for one, many in SAID_IN_SCRIPT.findall(path.read_text(encoding="utf-8")):
            yield _place(path), None, (json.loads(one), json.loads(many)) if many else json.loads(one)


def _place(path: Path) -> str:
    return str(path.relative_to(ROOT))


def _in_python(path: Path) -> Iterator[Said]:
    tree = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    ours = {
        alias.name
        for node in tree
        if isinstance(node, ast.ImportFrom) and node.module == "coursecheck.language"
        for alias in node.names
    }
    place = _place(path)
    for node in tree:
        if isinstance(node, ast.FunctionDef) and any(_name(made_by) in COMMANDS for made_by in node.decorator_list):
            yield place, None, paragraphs(ast.get_docstring(node) or "")
        if not isinstance(node, ast.Call):
            continue
        if _name(node) == "commented" and isinstance(node.args[0], ast.Constant):
            yield from ((place, None, words) for words in comments_in(str(node.args[0].value)))
        if isinstance(node.func, ast.Name) and (node.func.id in ours or path == HOME):
            first, *rest = node.args or [ast.Constant(None)]
            for way in (first.body, first.orelse) if isinstance(first, ast.IfExp) else (first,):
                literals = [arg.value if isinstance(arg, ast.Constant) else None for arg in (way, *rest)]
                yield from _called(place, node.func.id, literals)
        for keyword in node.keywords:
            if keyword.arg in KEYWORDS.get(_name(node), ()) and isinstance(keyword.value, ast.Constant):
                yield place, None, str(keyword.value.value)


def _name(node: ast.expr) -> str:
    """The name of the function that is called, without what stands before it."""
    called = node.func if isinstance(node, ast.Call) else node
    return called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")


def _in_template(path: Path) -> Iterator[Said]:
    tree = Environment(autoescape=True).parse(path.read_text(encoding="utf-8"))
    for node in tree.find_all(nodes.Call):
        if isinstance(node.node, nodes.Name):
            literals = [arg.value if isinstance(arg, nodes.Const) else None for arg in node.args]
            yield from _called(_place(path), node.node.name, literals)


def _called(place: str, function: str, literals: list[Any]) -> Iterator[Said]:
    match function, literals:
        case (("say" | "to_say"), [str(words), *_]):
            yield place, None, words
        case "say_count", [str(one), str(many), *_]:
            yield place, None, (one, many)
        case "say_as", [str(context), str(words), *_]:
            yield place, context, words


def _in_data() -> Iterator[Said]:
    for measure in MEASURES.values():
        for words in (measure.title, measure.about, *measure.metrics.values()):
            yield "coursecheck/measures", None, words
        yield from (("coursecheck/measures", "metric", metric) for metric in measure.metrics)
    for kind in KINDS.values():
        marks = [name for name, _ in build_shape(Obstacle("a", kind.name, (0.0, 0.0), 0.0)).marks]
        for words in (kind.title, *kind.sizes, *(size.about for size in kind.sizes.values()), *marks):
            yield "coursecheck/equipment", None, words
        yield from (("coursecheck/equipment", "metric", size) for size in kind.sizes)
    yield from (("coursecheck/cli/spoken.py", None, words) for words in CLICKS)
    for name in shipped_rulebooks():
        book = load_rulebook(name)
        rows = (*book.limits, *book.times, *book.sizes)
        purposes = (row.about for row in book.limits)
        for words in (book.title, *book.missing, *purposes, *(row.reason for row in rows)):
            yield "rules", None, words
    for figure in load_figures():
        yield "rules/models/walk.toml", None, figure.about
        yield "rules/models/walk.toml", None, figure.source
        if figure.id.startswith("points-"):
            yield "rules/models/walk.toml", "difficulty", figure.id.removeprefix("points-").replace("-", " ")
    yield from (("coursecheck/rulebook/vocabulary.py", None, word) for word in PLACES)
    for context, codes in CODES.items():
        yield from (("coursecheck/reports/terms.py", context, code) for code in codes)


class Plain(Catalog):
    """A catalogue with few headers."""

    @property
    def mime_headers(self) -> list[tuple[str, str]]:
        """Those of HEADERS."""
        return [(name, value) for name, value in super().mime_headers if name in HEADERS]

    @mime_headers.setter
    def mime_headers(self, headers: list[tuple[str, str]]) -> None:
        Catalog.mime_headers.fset(self, headers)  # type: ignore[attr-defined]


def template() -> Catalog:
    """A catalogue of all words without a translation."""
    found = Catalog(fuzzy=False)
    for place, context, words in all_words():
        found.add(words, locations=[(place, 1)], context=context)
    return found


def read(language: str) -> Catalog:
    """The catalogue of a language as it lies in its file; an empty one where there is none."""
    path = LOCALE / f"{language}.po"
    if not path.exists():
        return Catalog(locale=language, fuzzy=False)
    with path.open("rb") as file:
        return read_po(file, locale=language)


def brought_up_to_date(language: str, words: Catalog) -> Catalog:
    """The catalogue of a language with all words there are and no other; new ones are untranslated."""
    known = read(language)
    title = f"# {LANGUAGES[language]}"
    fresh = Plain(locale=language, project="coursecheck", version="1", header_comment=title, fuzzy=False)
    # the forms for counts are those of the translations at hand, not those that this edition of Babel knows
    fresh.mime_headers = [(name, value) for name, value in known.mime_headers if name == "Plural-Forms"]
    for message in words:
        if message.id:
            old = known.get(message.id if isinstance(message.id, str) else message.id[0], message.context)
            fits = old is not None and old.id == message.id
            places = sorted(set(message.locations))
            fresh.add(message.id, old.string if fits else "", locations=places, context=message.context)
    return fresh


def faults(language: str, words: Catalog) -> Iterator[str]:
    """What keeps a catalogue from being whole: words missing, in doubt, no longer said, or with other fields."""
    known = read(language)
    wanted = {(message.context, message.id) for message in words if message.id}
    for message in known:
        if message.id and (message.context, message.id) not in wanted:
            yield f"{language}: no longer said: {message.id!r}"
        elif message.id and message.fuzzy:
            yield f"{language}: in doubt: {message.id!r}"
    for context, said in sorted(wanted, key=repr):
        message = known.get(said if isinstance(said, str) else said[0], context)
        if message is None or message.id != said or not _whole(message.string):
            yield f"{language}: not translated: {said!r}"
        elif {_frame(form) for form in _forms(message.string)} != {_frame(form) for form in _forms(said)}:
            yield f"{language}: other fields or markup: {said!r} and {message.string!r}"


def _whole(string: Any) -> bool:
    return all(_forms(string))


def _forms(string: Any) -> tuple[str, ...]:
    return (string,) if isinstance(string, str) else tuple(string)


def _frame(words: str) -> tuple[object, ...]:
    """What a translation has to keep: fields, tags, quotation marks of attributes."""
    return fields(words), tuple(sorted(re.findall(r"<[^>]*>", words))), words.count('"')


def fields(words: str) -> frozenset[tuple[str, str]]:
    """The fields of a sentence with their formats; none where braces are not meant as such."""
    try:
        return frozenset((name, spec or "") for _, name, spec, _ in Formatter().parse(words) if name is not None)
    except ValueError:
        return frozenset()


def bytes_of(catalogue: Catalog) -> tuple[bytes, bytes]:
    """The .po and the .mo of a catalogue."""
    po, mo = io.BytesIO(), io.BytesIO()
    write_po(po, catalogue, width=118, sort_output=True, include_lineno=False)
    write_mo(mo, catalogue)
    return po.getvalue(), mo.getvalue()


def spoken_by_scripts(catalogue: Catalog) -> bytes:
    """What the scripts say by its English words, as JSON; of counts the form for one and that for many."""
    spoken = {}
    for _, _, words in in_scripts():
        message = catalogue.get(words if isinstance(words, str) else words[0])
        if message is not None and _whole(message.string):
            spoken[words if isinstance(words, str) else words[0]] = message.string
    return json.dumps(spoken, ensure_ascii=False, indent=0, sort_keys=True).encode() + b"\n"


def main(arguments: Iterable[str]) -> int:
    """Brings the catalogues up to date, or says what is wrong with them."""
    words, others = template(), [language for language in LANGUAGES if language != "en"]
    if "--check" not in arguments:
        for language in others:
            catalogue = brought_up_to_date(language, words)
            po, mo = bytes_of(catalogue)
            (LOCALE / f"{language}.po").write_bytes(po)
            made = LOCALE / language / "LC_MESSAGES" / f"{DOMAIN}.mo"
            made.parent.mkdir(parents=True, exist_ok=True)
            made.write_bytes(mo)
            (LOCALE / language / "page.json").write_bytes(spoken_by_scripts(catalogue))
    wrong = [fault for language in others for fault in faults(language, words)]
    sys.stdout.write("".join(f"{fault}\n" for fault in wrong) + f"{len(words)} texts, {len(wrong)} faults\n")
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
