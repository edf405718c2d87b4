"""`loopwright plan`."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from loopwright.model import read_project
from loopwright.plan import solve_plan
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
