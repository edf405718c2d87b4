"""How commands end when something goes wrong."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from loopwright.cli.ending import BROKEN, INTERRUPTED, MISSED, BadInputError, guarded
from loopwright.finding import DesignError, new_finding
from tests.cli.typed import type_in

FINDING = new_finding("LW201", "the docks give too little flour")


def _end(error: BaseException | None, code: int = 0, *words: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of a command that raises `error` or returns `code`."""

    def run(as_json: bool = typer.Option(False, "--json")) -> int:
        if error is not None:
            raise error
        return code

    app = typer.Typer(rich_markup_mode=None)
    app.command()(guarded(run))
    result = CliRunner().invoke(app, list(words))
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize("code", [0, 1, 2])
def test_the_code_that_a_command_returns_is_its_exit_code(code: int) -> None:
    assert _end(None, code) == (code, "", "")


def test_a_design_that_cannot_go_on_is_told_as_findings() -> None:
    code, out, err = _end(DesignError((FINDING,)))
    assert code == MISSED
    assert out == ""
    assert "error LW201: the docks give too little flour" in err


def test_findings_of_a_failed_design_are_one_document_with_json() -> None:
    code, out, err = _end(DesignError((FINDING,)), 0, "--json")
    assert code == MISSED
    assert out.startswith("{")
    assert '"LW201"' in out
    assert err == ""


def test_bad_input_ends_with_2() -> None:
    assert _end(BadInputError((FINDING,)))[0] == 2


def test_an_interrupt_ends_with_130_and_a_line() -> None:
    code, out, err = _end(KeyboardInterrupt())
    assert code == INTERRUPTED == 130
    assert out == ""
    assert "Interrupted" in err


def test_a_fault_of_the_program_says_how_to_see_where() -> None:
    code, out, err = _end(ZeroDivisionError("by 0"))
    assert code == BROKEN == 70
    assert out == ""
    assert "ZeroDivisionError: by 0" in err
    assert "LOOPWRIGHT_DEBUG=1" in err
    assert "Traceback" not in err


def test_the_traceback_is_there_for_who_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LOOPWRIGHT_DEBUG", "1")
    code, out, err = _end(ZeroDivisionError("by 0"))
    assert code == BROKEN
    assert out == ""
    assert "Traceback" in err


def test_a_file_that_cannot_be_written_is_named() -> None:
    code, _, err = _end(PermissionError(13, "Permission denied", "out/plan.json"))
    assert code == 2
    assert err == "out/plan.json: Permission denied\n"


def test_a_command_that_is_not_there_is_wrong_use() -> None:
    typed = type_in("chekc")
    assert typed.code == 2
    assert typed.out == ""
    assert "check" in typed.err


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = [sys.executable, "-c", "from loopwright.cli.main import main; main()", "schema"]
    reading, writing = os.pipe()
    os.close(reading)
    found = subprocess.run(
        command, stdout=writing, stderr=subprocess.PIPE, text=True, check=False, timeout=30
    )
    os.close(writing)
    assert found.returncode == 141
    assert found.stderr == ""


def test_the_installed_program_ends_with_the_code(tmp_path: Path) -> None:
    program = Path(sys.executable).with_name("loopwright")
    if not program.exists():
        pytest.skip("the package is not installed")
    found = subprocess.run(
        [program, "check", tmp_path / "none.yaml"],
        capture_output=True,
        text=True,
        check=False,
        timeout=30,
    )
    assert found.returncode == 2
    assert "LW101" in found.stdout
