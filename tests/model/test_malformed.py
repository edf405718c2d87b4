"""Every malformed project has exactly the findings that stand beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.finding import REGISTER, findings_text
from loopwright.model import check_project

FOLDER = Path(__file__).parent / "malformed"
CASES = sorted(path.stem for path in FOLDER.glob("*.yaml"))


@pytest.mark.parametrize("case", CASES)
def test_findings_are_those_beside_the_file(
    case: str, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(FOLDER)
    golden = Path(f"{case}.txt")
    project, findings = check_project(f"{case}.yaml")
    text = findings_text(findings) + "\n"
    if request.config.getoption("--update"):
        golden.write_text(text, encoding="utf-8", newline="\n")
    assert text == golden.read_text("utf-8")
    assert (project is not None) == case.startswith("warn_")
    for finding in findings:
        assert finding.place.line is not None
        assert finding.place.column is not None
        assert finding.remedy


def test_there_is_a_case_for_every_code_of_the_model() -> None:
    told = {
        code
        for path in FOLDER.glob("*.txt")
        for code in REGISTER
        if f" {code}: " in path.read_text("utf-8")
    }
    of_tables = {code for code in REGISTER if code.startswith("LW16")}  # with their own cases
    of_model = {code for code in REGISTER if code.startswith("LW1")} - of_tables
    elsewhere = {"LW101", "LW102"}  # of the file itself, in test_load.py
    assert of_model - told == elsewhere


def test_no_golden_is_left_over() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.txt")) == CASES
