"""`loopwright plan`."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from loopwright.model import read_project
from loopwright.plan import solve_plan
from loopwright.plan.checker import check_certificate
from tests.cli.typed import type_in


def test_the_document_holds_the_plan_exactly(starter: Path) -> None:
    plan = solve_plan(read_project(starter))
    typed = type_in("plan", starter, "--json")
    assert typed.code == 0
    document = typed.document
    assert list(document)[:3] == ["kind", "version", "origin"]
    assert document["kind"] == "plan"
    assert [entry["process"] for entry in document["processes"]] == [
        entry.process for entry in plan.processes
    ]
    stations = [Fraction(entry["stations"]) for entry in document["processes"]]
    assert stations == [entry.stations for entry in plan.processes]
    assert Fraction(document["power"]) == plan.power


def test_the_same_input_gives_the_same_bytes(starter: Path) -> None:
    assert type_in("plan", starter, "--json").out == type_in("plan", starter, "--json").out


def test_people_get_a_table_of_everything(starter: Path) -> None:
    plan = solve_plan(read_project(starter))
    typed = type_in("plan", starter)
    assert typed.code == 0
    for name in [entry.process for entry in plan.processes]:
        assert name in typed.out
    for entry in plan.materials:
        assert entry.material in typed.out
    assert all(line == line.rstrip() for line in typed.out.splitlines())


def test_a_trace_tells_the_chain_behind_a_material(starter: Path) -> None:
    typed = type_in("plan", starter, "--trace", "kit")
    assert typed.code == 0
    assert typed.out.startswith("kit 1/s = pack 1/s\n")
    assert "8 stations of kind packer = 1 cycles/s x 8 s" in typed.out
    document = type_in("plan", starter, "--trace", "kit", "--json").document
    assert document["kind"] == "plan-trace"
    assert document["trace"] == typed.out.rstrip("\n").split("\n")


def test_a_trace_of_a_misspelt_material_says_which_is_near(starter: Path) -> None:
    typed = type_in("plan", starter, "--trace", "kitt")
    assert typed.code == 2
    assert "did you mean 'kit'?" in typed.err


def test_the_certificate_holds(starter: Path, tmp_path: Path) -> None:
    path = tmp_path / "proof.txt"
    typed = type_in("plan", starter, "--certificate", path)
    assert typed.code == 0
    assert f"Proof written to {path}" in typed.out
    plan = solve_plan(read_project(starter))
    assert check_certificate(path.read_text("utf-8")) == (("optimal", plan.cost),)


def test_a_demand_that_cannot_be_met_is_proved_and_located(starter: Path, tmp_path: Path) -> None:
    text = starter.read_text("utf-8").replace("rate: 90/min", "rate: 30/min")
    starter.write_text(text, encoding="utf-8")
    path = tmp_path / "proof.txt"
    typed = type_in("plan", starter, "--certificate", path)
    assert typed.code == 1
    line = next(at for at, one in enumerate(text.split("\n"), 1) if "30/min" in one)
    assert f"{starter}:{line}:" in typed.err
    assert "0.5/s are missing" in typed.err
    ((kind, _),) = check_certificate(path.read_text("utf-8"))
    assert kind == "conflict"


def test_the_flow_is_drawn(starter: Path) -> None:
    chart = starter.with_name("flow.svg")
    typed = type_in("plan", starter, "--svg", chart)
    assert typed.code == 0
    assert "Pack a kit" in chart.read_text("utf-8")
