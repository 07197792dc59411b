"""Many plans, parts of a rulebook, waivers and baselines through the command line."""

import contextlib
import io
import json
import multiprocessing
import os
import pty
import select
import shutil
import subprocess
import sys
from dataclasses import dataclass

import pytest

from coursecheck import batch
from coursecheck.batch import Job, plan_files, run
from coursecheck.cli import main
from coursecheck.judging import Question, Source, judge_plan
from coursecheck.reports.forms import FORMS, Look
from coursecheck.resources import sample
from coursecheck.verdict.selection import Selection

LEGAL, FAULTY = sample("saltmarsh"), sample("draft-with-faults")


@dataclass(frozen=True)
class Shown:
    """What a command left behind."""

    returncode: int
    stdout: str
    stderr: str


def coursecheck(*arguments, cwd="."):
    """Runs a command in this process, which is quicker; `test_cli.py` starts the real one."""
    out, err = io.StringIO(newline=""), io.StringIO()
    with contextlib.chdir(cwd), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            main([str(argument) for argument in arguments], prog_name="coursecheck")
        except SystemExit as end:
            return Shown(end.code, out.getvalue(), err.getvalue())
    raise AssertionError("a command ends with a status")


@pytest.fixture
def shelf(tmp_path):
    """A folder of plans, some of them deeper, with a bad one and something else among them."""
    for name, plan in (("b", LEGAL), ("a", FAULTY), ("deep/er/c", sample("meadow"))):
        target = tmp_path / f"{name}.course.toml"
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(plan, target)
    (tmp_path / "bad.course.toml").write_text("format = 1\n[course]\ntitel = 3\n")
    (tmp_path / "notes.toml").write_text("not = 'a plan'\n")
    return tmp_path


def test_a_folder_stands_for_every_plan_below_it_in_order(shelf):
    names = plan_files([str(shelf)])
    assert [name.removeprefix(f"{shelf}/") for name in names] == [
        "a.course.toml",
        "b.course.toml",
        "bad.course.toml",
        "deep/er/c.course.toml",
    ]
    assert plan_files([names[1], str(shelf)])[0] == names[1]
    assert len(plan_files([names[1], str(shelf)])) == 4


def test_one_bad_plan_does_not_stop_the_rest(shelf):
    shown = coursecheck("check", shelf, cwd=shelf)
    assert shown.returncode == 2
    assert "bad.course.toml:3" in shown.stderr
    assert "titel" in shown.stderr
    assert "4 plans: 2 legal, 1 not judged, 1 not legal" in shown.stdout
    for title in ("Saltmarsh Spring Show", "Saltmarsh Autumn Show", "Meadow"):
        assert title in shown.stdout


@pytest.mark.parametrize("form", ["text", "json"])
def test_several_processes_give_what_one_gives(shelf, form):
    sources = [Source(name) for name in plan_files([str(shelf)])]
    job = Job(Question(), Look(form))
    alone = list(run(sources, job, processes=1))
    assert list(run(sources, job, processes=2)) == alone
    assert [result.file for result in alone] == [source.name for source in sources]


def test_a_process_that_ends_takes_no_other_plans_with_it(monkeypatch, tmp_path):
    monkeypatch.setattr(batch, "AHEAD", 1)
    files = [str(shutil.copy(LEGAL, tmp_path / f"{i}.course.toml")) for i in range(6)]
    before = multiprocessing.active_children()
    results = run([Source(file) for file in files], Job(Question(), Look("concise")), processes=2)
    taken = [next(results)]
    for child in multiprocessing.active_children():
        if child not in before:
            child.kill()
    taken += results
    assert [result.file for result in taken] == files
    lost = [result.problem for result in taken if result.problem]
    assert len(lost) <= 2  # what both processes were at, if they had not done it
    assert all("the process that judged it ended" in problem for problem in lost)
    assert not taken[-1].problem


@pytest.mark.parametrize("form", FORMS)
def test_the_same_plans_give_the_same_bytes_on_paper_and_on_screen(shelf, form, tmp_path):
    (shelf / "bad.course.toml").unlink()
    shown = coursecheck("check", ".", "--format", form, "--fail-on", "never", cwd=shelf)
    written = coursecheck("check", ".", "--format", form, "--fail-on", "never", "-o", "out.x", cwd=shelf)
    assert (shown.returncode, written.returncode, written.stdout) == (0, 0, "")
    assert shown.stdout.encode() == (shelf / "out.x").read_bytes()


def test_json_is_an_object_for_one_file_and_an_array_for_several_or_a_folder(shelf):
    one = json.loads(coursecheck("check", "b.course.toml", "--format", "json", cwd=shelf).stdout)
    assert one["course"]["file"] == "b.course.toml"
    folder = json.loads(coursecheck("check", "deep", "--format", "json", cwd=shelf).stdout)
    assert [result["course"]["file"] for result in folder] == ["deep/er/c.course.toml"]
    mixed = coursecheck("check", "bad.course.toml", "b.course.toml", "--format", "json", cwd=shelf)
    assert len(json.loads(mixed.stdout)) == 1
    assert mixed.returncode == 2


def test_a_question_that_makes_no_sense_is_told_once_for_all_plans(shelf):
    (shelf / "bad.course.toml").unlink()
    shown = coursecheck("check", shelf, "--select", "nothing-like-it")
    assert shown.returncode == 2
    assert shown.stderr.count("nothing-like-it") == 1
    assert "3 plans: 3 not judged" in shown.stdout


def test_a_folder_without_plans_is_told(tmp_path):
    shown = coursecheck("check", tmp_path)
    assert shown.returncode == 2
    assert "there is no *.course.toml below this folder" in shown.stderr


def test_a_plan_that_cannot_be_judged_leaves_no_empty_file(shelf):
    assert coursecheck("check", "bad.course.toml", "--format", "json", "-o", "out.json", cwd=shelf).returncode == 2
    assert not (shelf / "out.json").exists()


def test_progress_is_shown_on_a_terminal_alone(shelf):
    (shelf / "bad.course.toml").unlink()
    quiet = coursecheck("check", shelf, "--format", "concise")
    assert quiet.stderr == ""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "coursecheck", "check", str(shelf), "--format", "concise"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs, env={**os.environ, "TERM": "xterm"})
    os.close(theirs)
    seen = b""
    while process.poll() is None or select.select([ours], [], [], 0)[0]:
        if select.select([ours], [], [], 0.1)[0]:
            try:
                seen += os.read(ours, 4096)
            except OSError:  # the other end is closed
                break
    os.close(ours)
    assert process.communicate()[0].decode() == quiet.stdout
    assert b"3/3" in seen


def test_a_mistake_of_ours_in_one_plan_is_told_and_does_not_stop_the_rest(monkeypatch, shelf):
    import coursecheck.batch

    real = coursecheck.batch.judge_plan

    def judge(source, *rest):
        if source.name.endswith("a.course.toml"):
            raise ZeroDivisionError("made for this test")
        return real(source, *rest)

    monkeypatch.setattr(coursecheck.batch, "judge_plan", judge)
    results = list(run([Source(name) for name in plan_files([str(shelf)])], Job(Question(), Look("concise"))))
    assert "made for this test" in results[0].problem
    assert not results[1].problem


def limits_of(select=(), ignore=()):
    verdict = judge_plan(Source(str(FAULTY)), Question(selection=Selection(select, ignore)))
    return {finding.limit for finding in verdict.findings}, verdict


@pytest.mark.parametrize(
    ("select", "ignore", "chosen"),
    [
        (("leg-distance-min",), (), lambda row: row.id == "leg-distance-min"),
        (("leg-distance-*",), ("*-max",), lambda row: row.id in ("leg-distance-min", "leg-distance-edges")),
        (("leg-distance",), (), lambda row: row.measure == "leg-distance"),
        (("jumps-min", "weaves"), (), lambda row: row.id in ("jumps-min", "weaves")),
        ((), ("passes", "ring-*"), lambda row: row.measure != "passes" and not row.id.startswith("ring-")),
        (("passes",), ("jumps-min",), lambda row: row.measure == "passes" and row.id != "jumps-min"),
    ],
)
def test_select_and_ignore_take_ids_measures_and_patterns(select, ignore, chosen):
    limits, verdict = limits_of(select, ignore)
    names = {row.id for row in verdict.rulebook.limits}
    expected = names & {row.id for row in verdict.rulebook.limits if chosen(row)}
    assert limits == expected
    assert set(verdict.left_out) == names - expected
    assert verdict.options.get("select", "") == ", ".join(select)


def test_a_selection_changes_nothing_of_what_is_left():
    _, everything = limits_of()
    limits, part = limits_of(("leg-distance", "own-ground"))
    assert part.findings == tuple(f for f in everything.findings if f.limit in limits)


def test_what_was_left_out_is_shown_and_never_as_passed():
    shown = coursecheck("check", FAULTY, "--ignore", "own-ground").stdout
    assert "1 limit left out by selection" in " ".join(shown.split())
    assert "LEFT OUT BY SELECTION, so not checked\n  own-ground\n" in shown
    assert shown.count("own-ground") == 1


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (
            ("--select", "leg-distnce-min"),
            'no limit or measure is called "leg-distnce-min"; write "leg-distance-min"',
        ),
        (("--ignore", "x*"), 'no limit or measure is called "x*"'),
        (("--ignore", "*"), "nothing would be judged"),
        (("--date", "yesterday"), "2026-05-01"),
        (("--baseline", "none.json"), "none.json"),
    ],
)
def test_a_question_that_makes_no_sense_ends_with_2(arguments, words, tmp_path):
    shown = coursecheck("check", LEGAL, *arguments, cwd=tmp_path)
    assert shown.returncode == 2
    assert words in shown.stderr
    assert shown.stdout == ""


@pytest.mark.parametrize(
    ("date", "words"),
    [
        ("2025-12-31", "club-show (edition 1) is not in force on 2025-12-31: it begins on 2026-01-01"),
        ("2026-01-01", None),
    ],
)
def test_a_rulebook_that_is_not_in_force_on_the_day_is_told_and_kept(date, words):
    shown = coursecheck("check", LEGAL, "--date", date)
    assert shown.returncode == 0
    assert ("Note:" in shown.stdout) == (words is not None)
    assert words is None or words in " ".join(shown.stdout.split())


@pytest.fixture
def draft(tmp_path):
    shutil.copy(FAULTY, tmp_path / "d.course.toml")
    return tmp_path


def test_a_waived_finding_is_shown_but_does_not_count(draft):
    before = coursecheck("check", "d.course.toml", "--format", "json", cwd=draft)
    broken = [f for f in json.loads(before.stdout)["findings"] if f["outcome"] == "breach"]
    for limit, obstacles in {(f["limit"], tuple(f["obstacles"])) for f in broken}:
        said = coursecheck(
            "waive", "d.course.toml", limit, *obstacles, "--reason", "as agreed", "--who", "A. Judge", cwd=draft
        )
        assert said.returncode == 0, said.stderr
        assert said.stdout.startswith("d.waivers.toml: accepted: ")
    after = coursecheck("check", "d.course.toml", "--format", "json", "--fail-on", "note", cwd=draft)
    assert after.returncode == 0
    result = json.loads(after.stdout)
    assert result["verdict"] == "legal"
    assert result["counts"]["breach"] == result["counts"]["waived"] == len(broken)
    assert result["notes"] == []
    text = coursecheck("check", "d.course.toml", cwd=draft).stdout
    assert f"; {len(broken)} of them waived" in " ".join(text.split())
    assert "breach, waived" in text
    assert "waived by A. Judge: as agreed" in " ".join(text.split())


def test_waive_finds_the_place_by_itself_where_there_is_only_one(draft):
    said = coursecheck("waive", "d.course.toml", "pole-spacing", "--reason", "r", "--who", "w", cwd=draft)
    assert said.returncode == 0
    assert 'obstacles = ["poles"]' in (draft / "d.waivers.toml").read_text()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("leg-distnce-min",), 'write "leg-distance-min"'),
        (("jumps-min",), "there is nothing to accept"),
        (("pole-spacing", "h"), "pole-spacing is broken at: poles"),
        (("pole-spacing", "--height", "giant"), "giant"),
        (("leg-distance-min", "--height", "small"), "it is not broken for small"),
        (("pole-spacing", "--reason", ""), "reason"),
        (("pole-spacing", "--until", "soon"), "2026-05-01"),
    ],
)
def test_waive_says_what_it_cannot_accept_and_writes_nothing(draft, arguments, words):
    given = ("--who", "w") if "--reason" in arguments else ("--who", "w", "--reason", "r")
    said = coursecheck("waive", "d.course.toml", *arguments, *given, cwd=draft)
    assert said.returncode == 2
    assert words in said.stderr
    assert not (draft / "d.waivers.toml").exists()


def test_broken_waivers_are_an_error_and_not_a_clean_run(draft):
    (draft / "d.waivers.toml").write_text("format = 1\n[[waiver]]\nlimt = 'x'\n")
    shown = coursecheck("check", "d.course.toml", cwd=draft)
    assert shown.returncode == 2
    assert 'd.waivers.toml:3: waiver[0].limt: unknown key; write "limit"' in shown.stderr


def test_the_report_and_the_check_agree_about_waivers(draft):
    coursecheck("waive", "d.course.toml", "pole-spacing", "--reason", "old poles", "--who", "A. Judge", cwd=draft)
    assert coursecheck("report", "d.course.toml", "-o", "r.html", "--ignore", "jumps-min", cwd=draft).returncode == 0
    page = (draft / "r.html").read_text()
    assert "Accepted by A. Judge: old poles" in page
    assert "Left out by selection" in page


def test_a_baseline_accepts_the_old_and_tells_the_new(shelf):
    (shelf / "bad.course.toml").unlink()
    written = coursecheck("check", ".", "--write-baseline", "base.json", cwd=shelf)
    assert written.returncode == 1
    assert coursecheck("check", ".", "--baseline", "base.json", cwd=shelf).returncode == 0
    plan = shelf / "a.course.toml"
    plan.write_text(plan.read_text().replace("spacing = 0.65", "spacing = 0.70"))
    worse = coursecheck("check", ".", "--baseline", "base.json", "--format", "concise", cwd=shelf)
    assert worse.returncode == 1
    new = [line for line in worse.stdout.splitlines() if ", waived" not in line]
    assert new
    assert all(" pole-spacing: " in line or "poles and v" in line for line in new)


def test_a_baseline_is_not_written_from_half_of_the_plans(shelf):
    (shelf / "base.json").write_text("keep me")
    shown = coursecheck("check", ".", "--write-baseline", "base.json", cwd=shelf)
    assert shown.returncode == 2
    assert (shelf / "base.json").read_text() == "keep me"
    assert "not written" in shown.stderr
