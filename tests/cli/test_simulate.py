"""`loopwright simulate`, `report` and `demo`: the stages end to end."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from tests.cli.typed import type_in


def test_every_scenario_is_run_and_read(starter: Path) -> None:
    typed = type_in("simulate", starter, "--json")
    document = typed.document
    assert document["kind"] == "run"
    assert typed.code == 0
    for run in document["runs"]:
        assert Fraction(run["rate"]) > 0
        assert not run["jammed"]
        for balance in run["readings"]["balance"]:
            came = balance["start"] + balance["put"] + balance["made"]
            assert came == balance["used"] + balance["taken"] + balance["held"]


def test_people_see_rate_rows_and_audit(starter: Path) -> None:
    typed = type_in("simulate", starter)
    assert typed.code == 0
    assert "units in = out + held" in typed.out
    assert "row 1" in typed.out


def test_an_unknown_scenario_is_bad_input(starter: Path) -> None:
    typed = type_in("simulate", starter, "--scenario", "nowhere")
    assert typed.code == 2
    assert "nowhere" in typed.err


def test_a_demand_beyond_the_lanes_ends_with_1(starter: Path) -> None:
    """Half the pickers' speed: the stations wait, and the command says for what."""
    text = starter.read_text("utf-8")
    slow = starter.with_name("slow.yaml")
    slow.write_text(text.replace("swing: ", "swing: 1"), "utf-8")
    typed = type_in("simulate", slow)
    assert typed.code == 1
    assert "!" in typed.out


def test_the_report_is_written_beside_the_project(starter: Path) -> None:
    typed = type_in("report", starter)
    page = starter.with_suffix(".html")
    assert typed.code == 0
    assert str(page) in typed.out
    assert page.read_text("utf-8").startswith("<!DOCTYPE html>")
    first = page.read_bytes()
    assert type_in("report", starter, "--json").document["target_met"] is True
    assert page.read_bytes() == first


def test_the_demonstration_tells_the_story_and_keeps_an_edited_project(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    typed = type_in("demo", "--out", folder)
    assert typed.code == 0
    for word in ("Project", "Plan", "Block", "Layout", "Run steady", "Report"):
        assert f"{word}\n" in typed.out
    project = folder / "filter-kits.yaml"
    edited = project.read_text("utf-8").replace("648/min", "324/min")
    project.write_text(edited, "utf-8")
    assert type_in("demo", "--out", folder).code == 0
    assert project.read_text("utf-8") == edited
    assert (folder / "report.html").is_file()
    assert (folder / "layout.svg").is_file()


def test_the_demonstration_as_a_document(tmp_path: Path) -> None:
    document = type_in("demo", "--out", tmp_path / "demo", "--json").document
    assert document["kind"] == "demo"
    assert [entry["stage"] for entry in document["story"]][:2] == ["Project", "Plan"]
    assert all(Path(file).is_file() for file in document["files"])
