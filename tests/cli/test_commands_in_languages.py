"""Help, usage errors and all that the commands tell speak the reader's language."""

import gettext
import importlib.util
import os
import re
import socket
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import click
import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from click.testing import CliRunner

from coursecheck import language
from coursecheck.cli import COMMANDS, main, spoken
from coursecheck.equipment import KINDS
from coursecheck.language import DOMAIN
from coursecheck.measures import MEASURES
from coursecheck.papers import FORMATS, PAPERS
from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.resources import sample
from coursecheck.walk.figures import load_figures
from tests.pseudo import Pseudo, readable, speaking_pseudo

ROOT = Path(__file__).parents[2]
BOOKS = [load_rulebook(name) for name in ("club-show", "kc-2017", "fci-2018")]
NAMES = ["base", *shipped_rulebooks(), *MEASURES, *KINDS, *PAPERS, *FORMATS, *(row.id for row in load_figures())]
NAMES += [word for book in BOOKS for word in (*book.disciplines, *book.heights, *(row.id for row in book.limits))]
NAMES += ["cm", *(grade for book in BOOKS for grades in book.disciplines.values() for grade in grades)]
NAMES += [metric for measure in MEASURES.values() for metric in measure.metrics]
NAMES += [size for kind in KINDS.values() for size in kind.sizes]
WORDS_OF_FILES = ["must should note", "limit coverage missing partial full", "rules csv"]
LEGAL, FAULTY = str(sample("saltmarsh")), str(sample("draft-with-faults"))


def run(*arguments, **settings):
    return CliRunner(env=settings).invoke(main, [str(word) for word in arguments], prog_name="coursecheck")


@pytest.fixture(scope="module")
def clicks_words():
    spec = importlib.util.spec_from_file_location("catalogue", ROOT / "tools" / "catalogue.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.CLICKS


@pytest.fixture
def made_up(clicks_words, tmp_path, monkeypatch):
    """Runs a command in the made-up language, for the words of click as well; gives all that it tells."""
    words, catalogue = Catalog(locale="de"), Pseudo()
    for said in clicks_words:
        forms = (said,) if isinstance(said, str) else said
        made = tuple(catalogue.gettext(form) for form in forms)
        words.add(said, made[0] if isinstance(said, str) else made)
    path = tmp_path / "locale" / "xx" / "LC_MESSAGES" / f"{DOMAIN}.mo"
    path.parent.mkdir(parents=True)
    with path.open("wb") as file:
        write_mo(file, words)
    monkeypatch.setattr(spoken, "LOCALE", str(tmp_path / "locale"))

    def tell(*arguments):
        with speaking_pseudo(monkeypatch):
            monkeypatch.setattr(spoken, "LANGUAGES", language.LANGUAGES)
            shown = run(*arguments, COURSECHECK_LANGUAGE="xx")
        assert isinstance(shown.exception, SystemExit | None)
        return shown.output

    return tell


def commands():
    """The words by which each command is called, with the command."""
    context = click.Context(main)
    yield (), main
    for name in COMMANDS:
        command = main.get_command(context, name)
        yield (name,), command
        if isinstance(command, click.Group):
            yield from (((name, part), command.commands[part]) for part in command.commands)


CALLS = dict(commands())


def codes(command):
    """What a program reads of a command: the names of options and of commands, choices and defaults."""
    for parameter in command.get_params(click.Context(command)):
        yield from (*parameter.opts, str(parameter.default))
        if isinstance(parameter.type, click.Choice):
            yield from parameter.type.choices
    yield from COMMANDS if command is main else getattr(command, "commands", ())


@pytest.mark.parametrize("call", CALLS, ids=" ".join)
def test_every_word_of_a_help_is_looked_up(call, made_up):
    told = made_up(*call, "--help")
    assert "Traceback" not in told
    assert "жж" in told
    assert readable(told, [*call, *codes(CALLS[call])]) == set()


USAGE = [
    (),
    ("frobnicate",),
    ("chek", "x"),
    ("--frobnicate",),
    ("check",),
    ("check", "x", "--frobnicate"),
    ("check", "x", "--hieght", "large"),
    ("check", "x", "--lan", "de"),
    ("check", "x", "--format"),
    ("check", "x", "--format", "pdf"),
    ("check", "nowhere.course.toml"),
    ("check", LEGAL, "--height", "giant"),
    ("check", LEGAL, "--setting-out", "-1"),
    ("check", LEGAL, "--setting-out", "much"),
    ("check", LEGAL, "--speed", "nan"),
    ("check", LEGAL, "--speed", "0"),
    ("check", LEGAL, "--date", "tomorrow"),
    ("check", LEGAL, "--select", "leg-distnce"),
    ("check", LEGAL, "--ignore", "*"),
    ("check", LEGAL, "--baseline", "none.json"),
    ("check", "empty"),
    ("times", LEGAL, "--length", "inf"),
    ("explain",),
    ("explain", "leg-distnce-min"),
    ("explain", "zzz", "--rulebook", "club-show"),
    ("explain", "leg-distance-min", "--rulebook", "nobody"),
    ("explain", "leg-distance-min", LEGAL, "--rulebook", "club-show"),
    ("explain", "zzz", LEGAL),
    ("new", "x.course.toml", "--size", "30"),
    ("new", "x.course.toml", "--size", "3x3"),
    ("new", "x.course.toml", "--discipline", "frisbee"),
    ("new", "x.course.toml", "--grade", "99"),
    ("new", "x.course.toml", "more"),
    ("new", "x.course.toml", "more", "and-more"),
    ("new", "here.course.toml"),
    ("new", "no/folder/x.course.toml"),
    ("new", "x.course.toml", "--force=yes"),
    ("papers", LEGAL),
    ("papers", LEGAL, "-o", "out", "--only", "poster"),
    ("papers", LEGAL, "-o", "out", "--format", "gif"),
    ("papers", LEGAL, "-o", "out", "--only", "report", "--format", "csv"),
    ("papers", LEGAL, "-o", "out", "--line", "giant"),
    ("papers", LEGAL, "-o", "out", "--origin", "52"),
    ("papers", LEGAL, "-o", "out", "--origin", "99,5", "--format", "geojson"),
    ("papers", LEGAL, "-o", "out", "--north", "up"),
    ("papers", LEGAL, "-o", "here.course.toml", "--only", "plan", "--format", "csv"),
    ("report", LEGAL),
    ("report", LEGAL, "-o", "no/such/folder/x.html"),
    ("report", LEGAL, "-o", "empty"),
    ("docs", "club-show", "-o", "here.course.toml"),
    ("demo", "-o", "here.course.toml"),
    ("rulebooks", "frobnicate"),
    ("rulebooks", "show"),
    ("rulebooks", "show", "nobody"),
    ("rulebooks", "show", "club-show", "--discipline", "frisbee"),
    ("rulebooks", "show", "club-show", "--grade", "99"),
    ("rulebooks", "show", "club-show", "--height", "giant"),
    ("rulebooks", "lint", "nobody", "none.toml"),
    ("rulebooks", "new", "club.txt"),
    ("rulebooks", "new", "club.toml", "--extends", "nobody"),
    ("schema",),
    ("schema", "dog"),
    ("waive", "-", "leg-distance-min", "--reason", "tent", "--who", "me"),
    ("waive", FAULTY, "leg-distance-min"),
    ("waive", FAULTY, "zzz", "--reason", "tent", "--who", "me"),
    ("waive", LEGAL, "leg-distance-min", "--reason", "tent", "--who", "me"),
    ("waive", FAULTY, "leg-distance-min", "--height", "giant", "--reason", "tent", "--who", "me"),
    ("walk", LEGAL, "--set", "turn"),
    ("walk", LEGAL, "--set", "turn=1"),
    ("walk", LEGAL, "--set", "air-turn=-1"),
    ("walk", LEGAL, "--figures", "none.toml"),
    ("board", "--port", "many"),
    ("board", "empty", "--no-open"),
]


@pytest.mark.parametrize("line", USAGE, ids=lambda line: " ".join(line)[-60:])
def test_every_word_of_an_error_is_looked_up(line, made_up, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty").mkdir()
    (tmp_path / "here.course.toml").write_text("format = 1\n")
    told = made_up(*line)
    known = [code for call, command in CALLS.items() if call == line[: len(call)] for code in codes(command)]
    assert "жж" in told
    assert readable(told, [*line, *known, *NAMES, *COMMANDS, str(tmp_path)]) == set()


ODD = """\
format = 1
[rulebook]
id = "odd"
title = "Odd"
edition = "1"
source = "none"
extends = "club-show"
missing = []
[[limit]]
id = "leg-distance-min"
where = { to = "spread" }
min = 5.5
basis = "practice"
source = "none"
reason = "r"
[[limit]]
id = "leg-distance-min"
min = 6.0
reason = "r"
[[limit]]
id = "leg-distance-min"
where = { height = "small" }
min = 5.0
reason = "r"
[[limit]]
id = "leg-distance-min"
where = { to = "table" }
min = 7.0
reason = "r"
[[limit]]
id = "leg-distance-max"
max = 3.0
basis = "practice"
source = "none"
reason = "r"
"""

LINES = [
    ("new", "new.course.toml"),
    ("rulebooks", "new", "club.toml"),
    ("rulebooks", "lint", "club-show"),
    ("rulebooks", "lint", "odd.toml"),
    ("rulebooks", "diff", "kc-2017", "fci-2018", "faulty.course.toml", "none.course.toml"),
    ("check", "--format", "concise", "none.course.toml", "--write-baseline", "base.json"),
    ("check", "--format", "csv", "none.course.toml"),
    ("waive", "faulty.course.toml", "pole-spacing", "--reason", "tent", "--who", "me"),
    ("waive", "faulty.course.toml", "straight-approach", "--reason", "tent", "--who", "me"),
    ("waive", "faulty.course.toml", "leg-distance-min", "--height", "small", "--reason", "tent", "--who", "me"),
    ("waive", "faulty.course.toml", "run-out-wall", "a", "--reason", "tent", "--who", "me"),
    ("report", "faulty.course.toml", "-o", "r.html"),
    ("papers", "faulty.course.toml", "-o", "out", "--only", "plan", "--format", "csv"),
    ("docs", "dgi", "-o", "pages"),
    ("demo", "-o", "demo"),
]


@pytest.mark.parametrize("line", LINES, ids=" ".join)
def test_every_word_that_a_command_tells_is_looked_up(line, made_up, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    plan = Path(FAULTY).read_text()
    (tmp_path / "odd.toml").write_text(ODD)
    (tmp_path / "faulty.course.toml").write_text(plan)
    told = made_up(*line)
    assert "жж" in told or "papers" in line
    files = ["saltmarsh.course.toml", "report.html", "index.html", "plan.csv", "faulty.waivers.toml"]
    data = [*NAMES, *files, plan, Path(LEGAL).read_text(), ODD, str(tmp_path), "coursecheck rulebooks lint"]
    assert readable(told, [*line, *data, *WORDS_OF_FILES]) == set()


@pytest.fixture
def board(monkeypatch):
    """A board that ends as soon as it has begun."""

    async def end(*_):
        return True

    monkeypatch.setattr(pytest.importorskip("uvicorn").Server, "on_tick", end)


def test_every_word_at_the_start_of_the_board_is_looked_up(made_up, board, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with ThreadPoolExecutor(1) as apart:  # in this thread another test may have left an event loop that runs
        told = apart.submit(made_up, "board", "x.course.toml", "--no-open").result()
    assert "жж" in told
    assert readable(re.sub("http://[^ \n]*", "", told), ["x.course.toml"]) == set()
    with socket.create_server(("127.0.0.1", 0)) as taken:
        told = made_up("board", "x.course.toml", "--no-open", "--port", str(taken.getsockname()[1]))
    assert "жж" in told
    assert readable(told, []) == set()


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (("--help", "--language", "de"), "Aufruf: coursecheck [OPTIONEN] BEFEHL"),
        (("--language", "de", "--help"), "Aufruf: coursecheck [OPTIONEN] BEFEHL"),
        (("--language=fr", "check", "-h"), "Usage\N{NO-BREAK SPACE}: coursecheck check [OPTIONS] FICHIER..."),
        (("rulebooks", "lint", "--language", "de"), "Fehler: Es fehlt 'DATEI...'."),
        (("--language", "de", "rulebooks", "lint"), "Fehler: Es fehlt 'DATEI...'."),
        (("--language", "fr", "rulebooks", "lint", "--language", "de"), "Fehler: Es fehlt 'DATEI...'."),
        (("chek", "--language", "de"), "Es gibt keinen Befehl 'chek'."),
        (("--language", "fr", "new", "x.course.toml", "--size", "3"), "n'est pas une taille de ring"),
        (("times", "none.course.toml", "--language", "de"), "none.course.toml: es gibt keine solche Datei"),
        (("waive", "--", "--language", "de"), "Error: Missing option '--reason'."),
    ],
)
def test_the_language_may_be_asked_for_anywhere_on_the_line(line, words):
    assert words in run(*line).output


def test_the_environment_is_heard_by_help_and_usage_errors_and_goes_behind_the_option():
    assert "Optionen:" in run("check", "--help", COURSECHECK_LANGUAGE="de").stdout
    assert "Il manque 'FICHIER...'." in run("check", COURSECHECK_LANGUAGE="fr").stderr
    assert "Optionen:" in run("check", "--help", "--language", "de", COURSECHECK_LANGUAGE="fr").stdout


@pytest.mark.parametrize("line", [("--help",), ("check", LEGAL), ("frobnicate",)], ids=" ".join)
@pytest.mark.parametrize("by_environment", [False, True])
def test_a_language_that_there_is_not_is_an_error_in_english(line, by_environment):
    environment = {"COURSECHECK_LANGUAGE": "tlh"} if by_environment else {}
    shown = run(*line, *(() if by_environment else ("--language", "tlh")), **environment)
    assert (shown.exit_code, shown.stderr) == (2, "Error: no language 'tlh'; there are en, de, fr\n")


def test_english_looks_nothing_up_and_a_language_ends_with_the_command(monkeypatch):
    before = gettext.textdomain(), os.environ.get("LANGUAGE")
    run("check", "--help", "--language", "de")
    assert (gettext.textdomain(), os.environ.get("LANGUAGE")) == before
    monkeypatch.setattr(language, "_catalogue", lambda code: pytest.fail(f"read the catalogue of {code}"))
    assert "Options:" in run("check", "--help").stdout
    assert "Missing argument 'FILE...'." in run("check").stderr


def test_the_help_of_papers_names_all_papers_and_formats():
    shown = run("papers", "--help").stdout
    assert [name for name in (*PAPERS, *FORMATS) if name not in shown] == []


@pytest.mark.parametrize("call", CALLS, ids=" ".join)
def test_every_command_takes_a_language(call):
    assert "--language [en|de|fr]" in run(*call, "--help").stdout
