"""Papers and terminal speak the reader's language; what programs read stays as it is."""

import ast
import importlib.util
import json
import re
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import assume, given
from hypothesis import strategies as st

from coursecheck import language
from coursecheck.batch import Job, run
from coursecheck.checking import check
from coursecheck.cli import main
from coursecheck.errors import UsageError
from coursecheck.judging import Question, Source
from coursecheck.language import LANGUAGES, both, either, say, say_as, say_count, speaking, spoken, written
from coursecheck.papers import PAPERS, PaperOptions
from coursecheck.plans import load_plan
from coursecheck.reports.forms import Look
from coursecheck.resources import sample
from coursecheck.units import format_apart, format_figure

ROOT = Path(__file__).parent.parent
OTHERS = [code for code in LANGUAGES if code != "en"]
WORD = re.compile(r"[A-Za-z]{2,}[A-Za-z-]*")


@pytest.fixture(scope="module")
def catalogue():
    spec = importlib.util.spec_from_file_location("catalogue", ROOT / "tools" / "catalogue.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def words(catalogue):
    return catalogue.template()


@pytest.mark.parametrize("code", OTHERS)
def test_a_catalogue_lacks_nothing_and_has_nothing_too_much(catalogue, words, code):
    assert list(catalogue.faults(code, words)) == []


TOLD = {
    "BadParameter",
    "CoursecheckError",
    "MissingPackageError",
    "Problem",
    "UsageError",
    "WriteError",
    "add",
    "echo",
}
"""Functions by which people are told something."""


def _literal_words(argument):
    """The words that stand in an argument as they are, where they are more than one."""
    parts = argument.values if isinstance(argument, ast.JoinedStr) else [argument]
    text = "".join(part.value for part in parts if isinstance(part, ast.Constant) and isinstance(part.value, str))
    return text if re.search(r"[A-Za-z] +[A-Za-z]", text) else None


def test_nobody_is_told_words_that_were_not_looked_up():
    found = []
    for path in sorted((ROOT / "coursecheck").rglob("*.py")):
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(call, ast.Call) and getattr(call.func, "attr", getattr(call.func, "id", "")) in TOLD:
                found += [(path.name, words) for argument in call.args if (words := _literal_words(argument))]
    assert found == []


@pytest.mark.parametrize("code", OTHERS)
def test_what_is_shipped_is_what_was_edited(catalogue, code):
    with speaking(code):
        for message in catalogue.read(code):
            if message.id and message.context:
                assert say_as(message.context, message.id) == message.string
            elif isinstance(message.id, str) and message.id:
                assert say(message.id) == message.string


@pytest.mark.parametrize("code", OTHERS)
def test_the_scripts_of_the_board_are_told_what_was_edited(catalogue, code):
    assert (catalogue.LOCALE / code / "page.json").read_bytes() == catalogue.spoken_by_scripts(catalogue.read(code))


def test_whatever_the_scripts_of_the_board_say_is_found_by_the_catalogue(catalogue):
    found = [path for path, _, _ in catalogue.in_scripts()]
    for script in sorted(catalogue.SCRIPTS.glob("*.js")):
        said = re.findall(r"(?<!function )\bsay(?:Count)?\(", script.read_text(encoding="utf-8"))
        assert len(said) == found.count(str(script.relative_to(ROOT))), script.name


@pytest.mark.parametrize(
    ("code", "shown"),
    [
        ("en", "2 plans: legal, 1.5 m, 5% must"),
        ("de", "2 Pläne: regelkonform, 1,5 m, 5\u00a0% Muss"),
        ("fr", "2 plans\u00a0: conforme, 1,5 m, 5\u00a0% obligatoire"),
    ],
)
def test_sentences_numbers_and_words_in_context(code, shown):
    with speaking(code):
        figures = f"{format_figure(1.5, 'm', decimals=1)}, {written(0.05, '.0%')}"
        rest = f"{say('legal')}, {figures} {say_as('severity', 'must')}"
        assert say_count("{count} plan: {verdicts}", "{count} plans: {verdicts}", 2, verdicts=rest) == shown


def test_a_sentence_without_a_translation_is_said_in_english_with_the_numbers_of_the_language():
    with speaking("de"):
        assert say("of {weight:.2f} kg, {count} of {exact}", weight=2.5, count=3, exact=Decimal("1.50")) == (
            "of 2,50 kg, 3 of 1,50"
        )
        assert (both(["a", "b", "c"]), either(["a", "b"])) == ("a, b und c", "a oder b")


def test_a_language_ends_with_its_block_and_an_unknown_one_is_refused():
    with speaking("fr"):
        with speaking("de"):
            assert spoken() == "de"
        assert spoken() == "fr"
    assert spoken() == "en"
    with pytest.raises(UsageError, match="there are en, de, fr"), speaking("tlh"):
        pass


@given(st.floats(0.001, 500), st.floats(-1, 1), st.sampled_from(OTHERS))
def test_two_figures_that_differ_look_different_in_every_language(limit, off, code):
    assume(abs(off) > 2e-6)
    with speaking(code):
        shown, bound, gap = format_apart(limit + off, limit, "m")
    assert shown != bound
    assert gap.strip("0, m") != ""


def test_english_reads_no_catalogue(monkeypatch):
    monkeypatch.setattr(language, "_catalogue", lambda code: pytest.fail(f"read the catalogue of {code}"))
    assert CliRunner().invoke(main, ["times", str(sample("saltmarsh"))]).exit_code == 0


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("de", ("NICHT REGELKONFORM", "MUSS (das Regelwerk verlangt es)", "0,66 m zu wenig", "SPZ", "alle Größen")),
        (
            "fr",
            (
                "NON CONFORME",
                "OBLIGATOIRE (le règlement l'exige)",
                "il manque 0,66 m",
                "TSP",
                "toutes les catégories",
            ),
        ),
    ],
)
@pytest.mark.parametrize("by_environment", [False, True])
def test_check_speaks_the_language_that_was_asked_for(code, said, by_environment):
    asked = [] if by_environment else ["--language", code]
    environment = {"COURSECHECK_LANGUAGE": code} if by_environment else {}
    shown = CliRunner(env=environment).invoke(main, ["check", *asked, str(sample("draft-with-faults"))])
    assert shown.exit_code == 1
    assert [words for words in said if words not in " ".join(shown.stdout.split())] == []


def test_the_option_goes_before_the_environment():
    shown = CliRunner(env={"COURSECHECK_LANGUAGE": "de"}).invoke(
        main, ["times", "--language", "fr", str(sample("saltmarsh"))]
    )
    assert "TSP" in shown.stdout


@pytest.mark.parametrize("processes", [1, 2])
def test_every_process_speaks_it(processes):
    sources = [Source(str(sample(name))) for name in ("saltmarsh", "draft-with-faults")]
    with speaking("de"):
        parts = [result.part for result in run(sources, Job(Question(), Look("text")), processes)]
    assert [part.partition(":")[0] for part in parts] == ["REGELKONFORM", "NICHT REGELKONFORM"]


@pytest.mark.parametrize("code", OTHERS)
def test_keys_and_codes_for_programs_stay_as_they_are(code):
    def skeleton(value):
        if isinstance(value, dict):
            return {key: skeleton(part) for key, part in value.items()}
        return [skeleton(part) for part in value] if isinstance(value, list) else None

    def judged(*asked):
        shown = CliRunner().invoke(main, ["check", "--format", "json", *asked, str(sample("draft-with-faults"))])
        return json.loads(shown.stdout)

    plain, other = judged(), judged("--language", code)
    codes = ("limit", "outcome", "severity", "measured", "margin", "metric", "unit", "basis", "source", "clause")
    assert skeleton(other) == skeleton(plain)
    assert other["verdict"] == plain["verdict"]
    assert [[f[c] for c in codes] for f in other["findings"]] == [[f[c] for c in codes] for f in plain["findings"]]


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_page_says_which_language_it_is_in(code):
    with speaking(code):
        course, rulebook = load_plan(sample("saltmarsh"))
        verdict = check(course, rulebook)
        pages = [paper.render("html", verdict, PaperOptions()).decode() for paper in PAPERS.values()]
    assert [page for page in pages if f'<html lang="{code}">' not in page] == []
