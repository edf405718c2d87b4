"""The parts list against the layout."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.layout.inventory import Part, list_parts
from loopwright.layout.layout import Applicator, Cell
from tests.report.design import PROJECT, make_design


@pytest.mark.parametrize("architecture", ["plain", "loop", "pass"])
def test_everything_that_stands_there_is_listed(architecture: str) -> None:
    data = deepcopy(PROJECT)
    data["choices"] = {"architecture": architecture}
    made = make_design(data, ())
    layout = made.layout
    counts: dict[str, int] = {}
    for part in list_parts(made.project, made.block, layout):
        counts[part.kind] = counts.get(part.kind, 0) + part.count
    assert counts["Station"] == len(layout.stations)
    assert counts["Picker"] == len(layout.pickers)
    assert counts["Belt"] == sum(len(belt.path) for belt in layout.belts)
    assert counts["Dock"] == len(layout.sources) + len(layout.drains)
    raised = [
        any(cell.level for cell in belt.path) for belt in layout.belts
    ]  # a belt of these layouts has one bridge at most
    junctions = len(layout.merges) + len(layout.side_merges) + len(layout.gates) + sum(raised)
    assert counts.get("Junction", 0) == junctions


def test_figures_come_from_the_catalogue() -> None:
    made = make_design(PROJECT, ())
    parts = list_parts(made.project, made.block, made.layout)
    (stations,) = [part for part in parts if part.kind == "Station"]
    assert stations.item == "Packer for Packing"
    assert (stations.effort, stations.power) == (10, 3)
    belts = [part for part in parts if part.kind == "Belt"]
    assert {part.power for part in belts} == {Fraction(1, 10)}
    arms = [part for part in parts if part.kind == "Picker"]
    assert {part.item for part in arms} == {"Arm: inlet", "Arm: outlet"}
    assert sum(part.count for part in arms) == made.block.counts.pickers


def test_applicators_are_counted_by_treatment() -> None:
    data = deepcopy(PROJECT)
    data["equipment"]["treatments"] = {
        "wax": {
            "title": "Waxing",
            "agent": "lid",
            "dose": "1/20",
            "processes": ["pack"],
            "rate": "6/s",
            "effort": "4",
            "power": "3 kW",
        }
    }
    made = make_design(data, ())
    assert not [
        part
        for part in list_parts(made.project, made.block, made.layout)
        if part.kind == "Applicator"
    ]
    lane, dose = made.layout.belts[0].name, Fraction(1, 20)
    known = {"rate": Fraction(6), "power": Fraction(3)}
    sprays = (
        Applicator("spray 1", Cell(0, 0), lane, 0, "lid", 8, dose=dose, **known),
        Applicator("spray 2", Cell(1, 0), lane, 1, "lid", 8, dose=dose, **known),
        Applicator("spray 3", Cell(2, 0), lane, 2, "tub", 8, power=Fraction(5)),
    )
    layout = replace(made.layout, applicators=sprays)
    found = [
        part for part in list_parts(made.project, made.block, layout) if part.kind == "Applicator"
    ]
    assert found == [
        Part("Applicator", "Waxing", 2, "pieces", Fraction(4), Fraction(3)),
        Part("Applicator", "of Tub", 1, "pieces", None, Fraction(5)),
    ]
