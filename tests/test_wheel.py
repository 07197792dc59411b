"""The wheel holds rulebooks and templates: built, installed in an empty environment, put to the main job there."""

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

from coursecheck.language import LANGUAGES

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--wheel", "--outdir", folder, ROOT]
    subprocess.run(build, check=True, capture_output=True)
    return next(folder.glob("*.whl"))


def test_the_wheel_carries_every_data_file(wheel):
    packed = set(zipfile.ZipFile(wheel).namelist())
    for folder in ("rules", "reports"):
        for path in (ROOT / folder).rglob("*"):
            assert path.is_dir() or f"coursecheck/data/{path.relative_to(ROOT)}" in packed
    assert "coursecheck/py.typed" in packed
    made = ("LC_MESSAGES/coursecheck.mo", "page.json")
    catalogues = {f"coursecheck/locale/{code}/{name}" for code in LANGUAGES if code != "en" for name in made}
    assert {name for name in packed if name.startswith("coursecheck/locale/")} == catalogues
    assert {f"coursecheck/samples/{p.name}" for p in (ROOT / "coursecheck/samples").iterdir()} <= packed
    page = [path.name for path in (ROOT / "coursecheck/board/static").iterdir()]
    assert len(page) > 20
    assert {f"coursecheck/board/static/{name}" for name in page} <= packed


@pytest.mark.wheel
def test_the_main_job_runs_from_an_empty_environment(wheel, tmp_path):
    venv.create(tmp_path / "env", with_pip=True)
    python = tmp_path / "env" / "bin" / "python"
    quiet = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    subprocess.run([python, *quiet, wheel], check=True, capture_output=True)
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    demo = [tmp_path / "env" / "bin" / "coursecheck", "demo", "-o", tmp_path / "demo"]
    done = subprocess.run(demo, cwd=tmp_path, env=environment, capture_output=True, text=True, check=True)
    assert done.stdout.startswith("LEGAL")
    assert (tmp_path / "demo" / "report.html").stat().st_size > 20_000
    french = [*demo, "--language", "fr"]
    done = subprocess.run(french, cwd=tmp_path, env=environment, capture_output=True, text=True, check=True)
    assert done.stdout.startswith("CONFORME")
