"""Bays: all that a treated section takes passes applicators, which one agent line feeds."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import Any

import pytest

from loopwright.block import size_block
from loopwright.finding import DesignError, Severity
from loopwright.layout import (
    check_layout,
    layout_document,
    layout_from_document,
    layout_map,
    place_layout,
    place_project,
)
from loopwright.layout.edit import edited_layout
from loopwright.layout.inventory import list_parts
from loopwright.layout.layout import Layout
from loopwright.layout.route.bridge import bridges_of, ramps_straight
from loopwright.layout.treatment.marks import taken_marks
from loopwright.model import Project
from loopwright.plan import solve_plan
from tests.block.test_batch import rinsed


def layout_of(project: Project) -> Layout:
    return place_project(solve_plan(project), project).layout


def codes(project: Project) -> set[str]:
    with pytest.raises(DesignError) as caught:
        layout_of(project)
    return {finding.code for finding in caught.value.findings}


def treated_by(layout: Layout, material: str) -> int:
    return sum(one.materials == (material,) for one in layout.applicators)


@pytest.mark.parametrize("scope", ["block", "site"])
def test_a_line_has_as_many_applicators_as_a_full_belt_asks_for(scope: str) -> None:
    """5 carriers/s of 2 candles are 10/s, of 8 caps 40/s; an applicator marks 20/s."""
    layout = layout_of(rinsed(scope=scope))
    assert treated_by(layout, "candle") == 1
    assert treated_by(layout, "cap") == 2
    assert check_layout(layout) == ()
    slow = layout_of(rinsed({"rate": "3/s"}, scope=scope))
    assert treated_by(slow, "candle") == ceil(Fraction(10, 3))
    assert treated_by(slow, "cap") == ceil(Fraction(40, 3))


def test_an_applicator_that_its_arm_starves_has_helpers() -> None:
    """An arm brings 2 units in 0.4 s: with a dose of 1 that is 5 units/s, not 20."""
    layout = layout_of(rinsed({"dose": "1", "yield": "3"}, scope="block"))
    assert treated_by(layout, "candle") == 2
    assert treated_by(layout, "cap") == 8


@pytest.mark.parametrize("scope", ["block", "site"])
def test_all_that_stations_take_is_marked(scope: str) -> None:
    """Also where several rows share a trunk, and on the return of a loop."""
    layout = layout_of(rinsed(scope=scope))
    graded = [one for one in layout.stations if one.recipe == "cap-candle"]
    taken = taken_marks(layout)
    assert len(taken) == len(graded) == 18
    assert all(dict(found) == {"candle": 1, "cap": 1} for found in taken.values())


def test_one_agent_line_feeds_all_applicators_of_a_bay() -> None:
    layout = layout_of(rinsed())
    tanks = {one.name for one in layout.applicators}
    feeders = [picker for picker in layout.pickers if picker.target.device in tanks]
    assert {picker.target.device for picker in feeders} == tanks
    (line,) = {picker.source.device for picker in feeders}
    assert line == "rinse agent line 1"
    assert {station.recipe for station in layout.stations} >= {"stir-rinse"}


@pytest.mark.parametrize("lines", [1, 2, 3, 5, 7])
@pytest.mark.parametrize("span", [1, 4])
def test_an_agent_line_goes_out_and_back_past_any_number_of_lines(lines: int, span: int) -> None:
    tree = rinsed({"dose": "1/100"}, scope="block").document()
    names = ["candle", "cap", "clay", "acid", "water", "x1", "x2", "x3"][:lines]
    for extra in ("x1", "x2", "x3"):
        tree["materials"][extra] = {"stack": 4}
    tree["processes"] = {
        "cap-candle": {**tree["processes"]["cap-candle"], "inputs": dict.fromkeys(names, 1)}
    }
    tree["equipment"]["stations"]["bench"] |= {"width": 8}
    tree["equipment"]["pickers"]["boom"] = {"swing": "0.4 s", "hand": 2, "reach": 3}
    tree["equipment"]["junctions"] = {"bridge": {"span": span}}
    tree["choices"] |= {"architecture": "loop" if lines > 1 else "auto", "row": 6}
    tree["site"] |= {"width": 300, "height": 200}
    layout = layout_of(Project.model_validate(tree))
    assert [f for f in check_layout(layout) if f.severity is Severity.ERROR] == []
    (agent,) = [belt for belt in layout.belts if "agent line" in belt.name]
    assert len(bridges_of(agent.path)) == (0 if lines < 3 else (lines - 1) // 2 * (1 + (span < 3)))
    assert ramps_straight(agent.path)
    assert len({one.belt for one in layout.applicators}) >= lines


def test_without_a_dose_there_is_no_agent_line() -> None:
    layout = layout_of(rinsed({"dose": "0"}, scope="block"))
    assert len(layout.applicators) == 3
    assert not [belt for belt in layout.belts if "agent" in belt.name]
    assert check_layout(layout) == ()


def test_bays_come_through_documents_maps_and_parts() -> None:
    project = rinsed(scope="block")
    placed = place_project(solve_plan(project), project)
    layout = placed.layout
    assert layout_from_document(layout_document(layout)) == layout
    text = layout_map(layout)
    assert "applicators: candle applicator 1.1" in text
    assert edited_layout(layout, text, "map.txt")[0] == layout
    part = next(p for p in list_parts(project, placed.block, layout) if p.kind == "Applicator")
    assert (part.count, part.effort, part.power) == (3, 2, 3)


def test_a_mirrored_bay_is_the_same_bay() -> None:
    east, west = (layout_of(rinsed(scope="block", flow=flow)) for flow in ("east", "west"))
    assert len(east.applicators) == len(west.applicators) == 3
    assert check_layout(west) == ()
    assert {one.index for one in west.applicators} == {one.index for one in east.applicators}


def test_a_block_is_placed_with_its_bay_by_itself() -> None:
    project = rinsed(scope="block")
    layout = place_layout(size_block(solve_plan(project), project), project)
    assert len(layout.applicators) == 3


@pytest.mark.parametrize(
    ("code", "treatment", "changes"),
    [
        ("LW311", {}, {"supply": "docks"}),
        ("LW444", {"dose": "2", "yield": "3"}, {}),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(
    code: str, treatment: dict[str, Any], changes: dict[str, Any]
) -> None:
    tree = rinsed(treatment, scope="block", **changes).document()
    tree["site"]["docks"] = []
    tree["materials"]["rinse"] |= {"stack": 1}
    assert codes(Project.model_validate(tree)) == {code}


def test_rows_are_shortened_where_the_bay_finds_no_room() -> None:
    tree = rinsed(scope="block", row="auto").document()
    tree["site"] |= {"width": 66, "height": 80, "docks": []}
    layout = layout_of(Project.model_validate(tree))
    assert len({station.row for station in layout.stations}) > 1


def test_treated_rows_moved_by_the_map_stay_joined_to_their_bay() -> None:
    layout = layout_of(rinsed(power_node="none"))
    text = layout_map(layout)
    at = {
        name: next(s.box for s in layout.stations if s.row == name)
        for name in ("cap-candle row 1", "cap-candle row 2")
    }
    for name, box in at.items():
        assert f"{name} {box.x},{box.y}" in text
        text = text.replace(f"{name} {box.x},{box.y}", f"{name} {box.x + 4},{box.y}")
    moved, findings = edited_layout(layout, text, "map.txt")
    assert findings == ()
    assert check_layout(moved) == ()
    assert moved.applicators == layout.applicators
    assert all(set(found.values()) == {1} for found in taken_marks(moved).values())
