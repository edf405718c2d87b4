"""Rows that are moved or turned by hand: what leads to them is laid anew."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from loopwright.finding import DesignError, Severity
from loopwright.grid import Box, Heading
from loopwright.layout import check_layout, layout_map, place_project
from loopwright.layout.edit import edited_layout
from loopwright.layout.layout import Layout
from loopwright.layout.move import moved_layout, row_corners, row_headings
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example

LATER = Scenario("later", "primed", Fraction(300), Fraction(200), Fraction(10))


@cache
def block(**choices: Any) -> Layout:
    project = example("check-block.yaml", rate=Fraction(4), row=6, power_node="none", **choices)
    site = project.site.model_copy(update={"width": 100, "height": 100})
    project = project.model_copy(update={"site": site})
    return place_project(solve_plan(project), project).layout


@cache
def works() -> Layout:
    project = example("filter-works.yaml", power_node="none")
    site = project.site.model_copy(update={"width": 150, "height": 120})
    project = project.model_copy(update={"site": site})
    return place_project(solve_plan(project), project).layout


def faults(layout: Layout) -> list[str]:
    return [f.message for f in check_layout(layout) if f.severity is Severity.ERROR]


def made(layout: Layout) -> dict[str, int]:
    """Units of each material that left."""
    found: dict[str, int] = {}
    for count in simulate_layout(layout, LATER).end.counters.drains.values():
        for material, units in count.units.items():
            found[material] = found.get(material, 0) + units
    return found


@pytest.mark.parametrize("architecture", ["plain", "loop"])
def test_a_row_on_trunks_that_is_moved_is_joined_again(architecture):
    before = block(architecture=architecture, supply="trunks")
    moved = moved_layout(before, {"row 3": (3, 5)}, {})
    assert faults(moved) == []
    assert len(moved.belts) == len(before.belts)
    changed = {b.name for b, a in zip(before.belts, moved.belts, strict=True) if b != a}
    assert any("row 3" in name for name in changed)
    assert not any(name.startswith("row 1") for name in changed)
    assert abs(made(moved)["kit"] - made(before)["kit"]) <= 4  # the ways are a little longer


def test_a_row_of_a_section_that_is_moved_is_joined_again():
    before = works()
    rows = [row for row in row_corners(before) if row.startswith("pack-kit")]
    moved = moved_layout(before, dict.fromkeys(rows, (1, 2)), {})
    assert faults(moved) == []
    assert made(moved)["kit"] >= made(before)["kit"] * Fraction(9, 10)


@pytest.mark.parametrize("supply", ["docks", "trunks"])
def test_rows_that_are_turned_flow_the_other_way(supply):
    before = block(architecture="loop", supply=supply)
    turned = moved_layout(before, {"row 3": (4, 4)}, {}, ["row 3"])
    assert faults(turned) == []
    assert row_headings(before)["row 3"] is Heading.EAST
    assert row_headings(turned)["row 3"] is Heading.WEST
    assert row_headings(turned)["row 1"] is Heading.EAST
    assert abs(made(turned)["kit"] - made(before)["kit"]) <= 8


def test_a_group_that_is_turned_stays_whole():
    before = block(architecture="pass")
    rows = list(row_corners(before))
    moved = moved_layout(before, dict.fromkeys(rows, (9, 3)), {}, rows)
    assert faults(moved) == []
    assert made(moved) == made(before)
    again = moved_layout(moved, dict.fromkeys(rows, (-9, -3)), {}, rows)
    assert again == before


def test_the_map_turns_rows():
    before = block(architecture="loop", supply="docks")
    text = layout_map(before)
    at = row_corners(before)["row 3"]
    assert f"row 3 {at.x},{at.y} east" in text
    text = text.replace(f"row 3 {at.x},{at.y} east", f"row 3 {at.x},{at.y} west")
    turned, findings = edited_layout(before, text, "map.txt")
    assert [finding.code for finding in findings] == []
    assert row_headings(turned)["row 3"] is Heading.WEST
    assert row_corners(turned)["row 3"] == at
    assert edited_layout(turned, layout_map(turned), "map.txt") == (turned, ())


def test_a_word_that_is_no_direction_is_told():
    before = block(architecture="loop", supply="docks")
    text = layout_map(before).replace(" east; row 2", " up; row 2")
    _, (finding,) = edited_layout(before, text, "map.txt")
    assert finding.code == "LW431"
    assert finding.allowed == "east or west"


def test_a_dock_that_is_moved_takes_its_belt_along():
    before = block(architecture="loop", supply="docks")
    dock = before.sources[0]
    moved = moved_layout(before, {}, {dock.name: (-1, -1)})
    assert faults(moved) == []
    belt = next(belt for belt in moved.belts if belt.name == dock.belt)
    assert belt.path[-1] == next(b for b in before.belts if b.name == dock.belt).path[-1]


def test_where_no_way_is_left_it_is_told():
    before = block(architecture="loop", supply="trunks")
    x = row_corners(before)["row 3"].x
    wall = Box(x - 3, 0, 1, before.height)
    walled = replace(before, obstacles=(wall,))
    with pytest.raises(DesignError) as caught:
        moved_layout(walled, {"row 3": (20, 20)}, {})
    assert {finding.code for finding in caught.value.findings} == {"LW422"}
