"""Without the packages of the extra, the command says what to install."""

import sys

import pytest
from click.testing import CliRunner

from coursecheck.cli import main


@pytest.mark.parametrize("package", ["starlette", "uvicorn"])
def test_a_missing_package_is_told_with_what_to_install(monkeypatch, package):
    for name in [
        name for name in sys.modules if name.split(".")[0] == package or name.startswith("coursecheck.board")
    ]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, package, None)
    result = CliRunner().invoke(main, ["board", "x.course.toml", "--no-open"])
    assert result.exit_code == 2
    assert "pip install 'coursecheck[board]'" in result.output
