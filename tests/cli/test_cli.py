"""The command line through its real entry point: output on stdout, the rest on stderr, status 0, 1 or 2."""

import json
import os
import subprocess
import sys

import pytest

from coursecheck.resources import sample


def run(*arguments, stdin=None, cwd=None, **environment):
    return subprocess.run(
        [sys.executable, "-W", "error", "-m", "coursecheck", *map(str, arguments)],
        check=False,
        input=stdin,
        cwd=cwd,
        capture_output=True,
        text=True,
        env={**os.environ, **environment},
        timeout=120,
    )


LEGAL, FAULTY = sample("saltmarsh"), sample("draft-with-faults")


def test_help_lists_every_command_with_a_sentence():
    shown = run("--help")
    assert shown.returncode == 0
    for name in ("check", "demo", "explain", "new", "report", "rulebooks", "schema", "times"):
        assert name in shown.stdout
        assert run(name, "--help").returncode == 0


def test_help_imports_nothing_heavy():
    code = "import sys, coursecheck.cli; coursecheck.cli.main(['--help'], standalone_mode=False); print(*sys.modules)"
    modules = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not {"numpy", "shapely", "rich", "jinja2", "tomlkit", "msgspec"} & set(modules)


def test_a_check_imports_no_renderer_that_it_does_not_use():
    code = (
        "import sys, coursecheck.cli\n"
        f"coursecheck.cli.main(['check', '--format', 'json', {str(LEGAL)!r}], standalone_mode=False)\n"
        "print(*sys.modules)"
    )
    modules = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not {"scipy", "rich", "jinja2", "tomlkit"} & set(modules)
    assert not [name for name in modules if name.startswith(("coursecheck.walk", "coursecheck.papers"))]


def test_a_legal_plan_ends_with_0_and_a_faulty_one_with_1():
    assert run("check", LEGAL).returncode == 0
    assert run("check", FAULTY).returncode == 1
    assert run("check", FAULTY, "--fail-on", "never").returncode == 0


def test_a_should_counts_when_asked_for():
    concise = run("check", FAULTY, "--format", "concise").stdout
    assert " must " in concise
    assert run("check", FAULTY, "--fail-on", "note").returncode == 1


def test_text_is_plain_when_piped_and_says_the_verdict_first():
    shown = run("check", LEGAL)
    assert "\x1b" not in shown.stdout
    assert shown.stderr == ""
    assert "Saltmarsh" in shown.stdout.splitlines()[0]
    assert shown.stdout.startswith("LEGAL: ")


def test_json_is_json_alone_and_the_same_every_time():
    first, second = (run("check", FAULTY, "--format", "json") for _ in range(2))
    assert first.stdout == second.stdout
    result = json.loads(first.stdout)
    assert result["format"] == 1
    assert result["verdict"] == "not-legal"
    assert result["counts"]["breach"] > 0


def test_a_plan_comes_from_standard_input_too():
    assert run("check", "-", stdin=LEGAL.read_text()).returncode == 0


def test_several_plans_and_one_bad_one(tmp_path):
    bad = tmp_path / "bad.course.toml"
    bad.write_text("format = 2\n")
    shown = run("check", LEGAL, bad, sample("meadow"))
    assert shown.returncode == 2
    assert "bad.course.toml" in shown.stderr
    assert "Saltmarsh" in shown.stdout
    assert "Meadow" in shown.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("check", "nowhere.course.toml"), "nowhere.course.toml"),
        (("check",), "Missing argument"),
        (("check", LEGAL, "--height", "giant"), "giant"),
        (("check", LEGAL, "--setting-out", "-1"), "makes no sense"),
        (("check", LEGAL, "--speed", "nan"), "makes no sense"),
        (("times", LEGAL, "--length", "inf"), "makes no sense"),
        (("explain", "leg-distnce-min"), "did you mean"),
        (("explain", "leg-distance-min", "--rulebook", "nobody"), "nobody"),
        (("new", "x.course.toml", "--size", "30"), "30x40"),
        (("new", "x.course.toml", "--grade", "99"), "99"),
        (("frobnicate",), "No such command"),
        (("report", LEGAL), "--output"),
        (("report", LEGAL, "-o", "no/such/folder/x.html"), "no/such/folder"),
    ],
)
def test_what_cannot_be_answered_ends_with_2_and_says_why(arguments, words, tmp_path):
    shown = run(*arguments, cwd=tmp_path)
    assert shown.returncode == 2
    assert words in shown.stderr
    assert "Traceback" not in shown.stderr


def test_a_report_is_written_whole(tmp_path):
    shown = run("report", FAULTY, "-o", tmp_path / "r.html")
    assert shown.returncode == 0
    page = (tmp_path / "r.html").read_text()
    assert page.startswith("<!DOCTYPE html>")
    assert page.rstrip().endswith("</html>")
    assert [path.name for path in tmp_path.iterdir()] == ["r.html"]


def test_times_from_the_wheel():
    shown = run("times", LEGAL, "--length", "182.5", "--speed", "4")
    assert shown.returncode == 0
    assert "182.50 m" in shown.stdout
    assert "wheel" in shown.stdout
    assert shown.stdout.count("measured on the ground with a wheel") == 1  # told once for all classes


def test_explain_says_what_for_how_and_where_from():
    shown = run("explain", "leg-distance-min")
    assert shown.returncode == 0
    for word in ("Measured:", "at least", "basis", "source", "grade"):
        assert word in shown.stdout


def test_rulebooks_are_listed_with_their_coverage():
    shown = run("rulebooks").stdout
    for word in ("club-show", "fci-2018", "fci-2012", "kc-2017", "partial"):
        assert word in shown


@pytest.mark.parametrize("what", ["course", "rulebook", "result", "walk", "waivers"])
def test_schemas_are_json_schemas(what):
    schema = json.loads(run("schema", what).stdout)
    assert schema["$schema"].startswith("https://json-schema.org/")


@pytest.mark.parametrize("size", ["12x12", "20x40", "30x40"])
@pytest.mark.parametrize("rulebook", ["club-show", "fci-2018", "kc-2017"])
def test_a_new_course_can_be_checked_at_once(tmp_path, size, rulebook):
    plan = tmp_path / "new.course.toml"
    assert run("new", plan, "--size", size, "--rulebook", rulebook).returncode == 0
    assert run("check", plan).returncode in (0, 1)
    assert run("new", plan).returncode == 2
    assert run("new", plan, "--force").returncode == 0


def test_the_demo_leaves_a_plan_and_a_report(tmp_path):
    shown = run("demo", "-o", tmp_path / "demo")
    assert shown.returncode == 0
    assert "report.html" in shown.stdout
    assert {path.name for path in (tmp_path / "demo").iterdir()} == {"saltmarsh.course.toml", "report.html"}


def test_no_colour_is_honoured_and_help_has_no_colour():
    assert "\x1b" not in run("check", LEGAL, NO_COLOR="1").stdout


@pytest.mark.parametrize("package", ["starlette", "uvicorn", "watchfiles", "websockets"])
def test_a_board_that_lacks_a_package_says_how_it_is_installed(package, tmp_path):
    code = f"import sys; sys.modules[{package!r}] = None; import coursecheck.__main__ as it; it.run()"
    board = [sys.executable, "-c", code, "board", "--no-open"]
    done = subprocess.run(board, check=False, capture_output=True, text=True, cwd=tmp_path, timeout=60)
    assert done.returncode == 2
    assert f"needs {package}" in done.stderr
    assert "pip install 'coursecheck[board]'" in done.stderr


def shell(command, **environment):
    program = f'"{sys.executable}" -W error -m coursecheck'
    return subprocess.run(
        ["/bin/sh", "-c", f"{program} {command}"],
        check=False,
        capture_output=True,
        env={**os.environ, **environment},
        timeout=120,
    )


@pytest.mark.parametrize("command", [f"check '{LEGAL}'", f"times '{LEGAL}'", "rulebooks", "schema course", "--help"])
def test_output_that_finds_no_room_is_one_message_and_status_2(command):
    told = shell(f"{command} >/dev/full")
    assert (told.returncode, told.stderr) == (2, b"the output cannot be written: No space left on device\n")


@pytest.mark.parametrize(("command", "status"), [(f"check '{LEGAL}'", 0), (f"check '{LEGAL}' '{FAULTY}'", 1)])
def test_closed_streams_leave_the_status_as_it_is(command, status):
    assert shell(f"{command} >&-").returncode == status
    assert shell(f"{command} 2>&-").returncode == status


def test_letters_that_the_terminal_lacks_stop_nothing():
    plain = shell(f"check '{LEGAL}'", LC_ALL="de_DE.ISO-8859-1", PYTHONIOENCODING="latin-1")
    assert plain.returncode == 0
    assert "class      length     speed".encode("latin-1") in plain.stdout
    assert b"???" in plain.stdout  # the rule below the head of the table


def test_what_goes_to_a_file_is_utf_8(tmp_path):
    plan = tmp_path / "plan.course.toml"
    plan.write_bytes(LEGAL.read_bytes().replace(b"Saltmarsh", "Łódź".encode()))
    shown = shell(f"check '{plan}' --format csv", LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    assert shown.returncode == 0
    assert "Łódź" in shown.stdout.decode()


def test_pages_where_a_file_is_in_the_way_are_one_message(tmp_path):
    (tmp_path / "club-show").write_text("")
    told = run("docs", "club-show", "-o", tmp_path)
    assert (told.returncode, told.stderr) == (2, f"{tmp_path / 'club-show'}: cannot be made: File exists\n")
