"""`loopwright import`: tables in, one file out, or findings and nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.model import read_project
from tests.cli.typed import type_in

TABLES = {
    "materials.csv": "name,letter,stack\ncandle,C,4\ntap,T,4\nkit,K,1\n",
    "processes.csv": "name,station,cycle,inputs,outputs\npack,packer,8 s,2 candle + 1 tap,1 kit\n",
    "stations.csv": "name,power [kW],width\npacker,2,3\n",
    "belts.csv": "name,speed [carriers/s]\nbelt,3\n",
    "pickers.csv": "name,swing [s]\narm,1/2\n",
}
WHOLE = ("--name", "Kits", "--demand", "kit: 60/min")


@pytest.fixture
def tables(tmp_path: Path) -> list[Path]:
    for name, text in TABLES.items():
        (tmp_path / name).write_text(text, "utf-8")
    return [tmp_path / name for name in TABLES]


def test_a_whole_project_is_written_and_checks_clean(tables: list[Path], tmp_path: Path) -> None:
    out = tmp_path / "kits.yaml"
    typed = type_in("import", *tables, *WHOLE, "--out", out)
    assert typed.code == 0
    assert typed.err == ""
    assert "3 materials, 1 process, 1 station, 1 belt, 1 picker" in typed.out
    assert type_in("check", out).out == "no findings\n"
    assert read_project(out).processes["pack"].inputs == {"candle": 2, "tap": 1}


def test_without_a_file_the_text_is_printed(tables: list[Path]) -> None:
    typed = type_in("import", *tables, *WHOLE)
    assert typed.code == 0
    assert typed.out.startswith("# A project made from tables.\n# loopwright ")
    assert "materials.csv  sha256:" in typed.out


def test_what_is_missing_is_told(tables: list[Path]) -> None:
    typed = type_in("import", *tables[:2])
    assert typed.code == 0
    assert (
        "# TODO demand: nothing says what must come out\n# demand:\n#   kit: .../min" in typed.out
    )
    assert typed.err.count("note LW168: ") == 5


def test_errors_leave_nothing_behind(tables: list[Path], tmp_path: Path) -> None:
    out = tmp_path / "kits.yaml"
    tables[1].write_text(TABLES["processes.csv"].replace("cycle", "cycel"), "utf-8")
    typed = type_in("import", *tables, *WHOLE, "--out", out)
    assert typed.code == 2
    assert "LW162" in typed.err
    assert not out.exists()


def test_a_file_that_is_there_is_kept_unless_forced(tables: list[Path], tmp_path: Path) -> None:
    out = tmp_path / "kits.yaml"
    out.write_text("mine", "utf-8")
    typed = type_in("import", *tables, "--out", out)
    assert typed.code == 2
    assert "--force" in typed.err
    assert out.read_text("utf-8") == "mine"
    assert type_in("import", *tables, "--out", out, "--force").code == 0
    assert out.read_text("utf-8").startswith("# Part of a project")


def test_json_is_one_document(tables: list[Path], tmp_path: Path) -> None:
    document = type_in("import", *tables[:2], "--json").document
    assert document["kind"] == "import"
    assert document["is"] == "part"
    assert document["missing"][0] == "project"
    assert document["origin"]["input"].startswith("sha256:")
    bad = type_in("import", tmp_path / "none.csv", "--json")
    assert bad.code == 2
    assert bad.document["findings"][0]["code"] == "LW101"


@pytest.mark.parametrize(
    ("demand", "code"),
    [("kit: 60", "LW115"), ("kitt: 60/min", "LW132"), ("kit: 0/s", "LW116"), ("tap: 1/s", "LW138")],
)
def test_a_wrong_demand_is_a_finding(demand: str, code: str, tables: list[Path]) -> None:
    typed = type_in("import", *tables, "--name", "Kits", "--demand", demand)
    assert typed.code == 2
    assert f"error {code}: demand." in typed.err


def test_wrong_use_is_said(tables: list[Path], tmp_path: Path) -> None:
    assert "is no demand" in type_in("import", *tables, "--demand", "kit").err
    assert "is not there" in type_in("import", *tables, "--out", tmp_path / "no" / "x.yaml").err
    assert "is a folder" in type_in("import", *tables, "--out", tmp_path).err
    assert "Usage:" in type_in("import").err
