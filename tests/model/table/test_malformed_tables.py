"""Every malformed set of tables has exactly the findings that stand beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.finding import REGISTER, findings_text
from loopwright.model.table import import_tables

FOLDER = Path(__file__).parent / "malformed"
CASES = sorted(path.name for path in FOLDER.iterdir() if path.is_dir())


@pytest.mark.parametrize("case", CASES)
def test_findings_are_those_beside_the_tables(
    case: str, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(FOLDER / case)
    tables = [Path(path.name) for path in sorted(Path.cwd().glob("*.csv"))]
    found = import_tables(tables)
    text = findings_text(found.findings) + "\n"
    golden = Path("findings.txt")
    if request.config.getoption("--update"):
        golden.write_text(text, encoding="utf-8", newline="\n")
    assert text == golden.read_text("utf-8")
    assert (found.text is not None) == case.startswith("warn_")
    for finding in found.findings:
        assert finding.remedy
        if not case.startswith("warn_"):
            assert finding.place.line is not None
            assert finding.place.column is not None


def test_there_is_a_case_for_every_code_of_tables() -> None:
    told = {
        code
        for path in FOLDER.glob("*/findings.txt")
        for code in REGISTER
        if f" {code}: " in path.read_text("utf-8")
    }
    of_tables = {code for code in REGISTER if code.startswith("LW16")}
    elsewhere = {"LW165"}  # of the bytes of a file, in test_cells.py
    assert of_tables - told == elsewhere
