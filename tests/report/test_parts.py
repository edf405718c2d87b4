"""The parts list against the layout."""

from __future__ import annotations

from copy import deepcopy
from fractions import Fraction

import pytest

from loopwright.report.parts import list_parts
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
