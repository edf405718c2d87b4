"""Whole sites: sections for all processes, joined by belts, running as drawn."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.block import check_sharing
from loopwright.block.order import flow_order
from loopwright.block.site import size_sections
from loopwright.finding import DesignError
from loopwright.grid import Box, Cell
from loopwright.layout import (
    check_layout,
    layout_document,
    layout_from_document,
    layout_map,
    place_project,
    size_project,
)
from loopwright.layout.carried import carried_materials
from loopwright.layout.edit import edited_layout
from loopwright.layout.layout import Layout
from loopwright.layout.parts import block_parts
from loopwright.layout.read import read_layout
from loopwright.layout.section.assembly import survey
from loopwright.layout.section.fit import ORDERS
from loopwright.layout.section.place import place_site
from loopwright.layout.section.share import share_supplies
from loopwright.layout.write import layout_yaml
from loopwright.model import Project
from loopwright.plan import solve_plan
from loopwright.record import Origin
from loopwright.simulate import simulate_layout
from loopwright.simulate.reading import read_run
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example

RATES = st.lists(st.fractions(Fraction(1, 20), 3, max_denominator=20), min_size=1, max_size=8)


def works(**changes: Any) -> Project:
    """The example of a small site, with parts of its tree changed."""
    tree = example("filter-works.yaml").document()
    for path, value in changes.items():
        *way, last = path.split("__")
        node = tree
        for key in way:
            node = node[key]
        node[last] = value
    return Project.model_validate(tree)


def site_layout(project: Project) -> Layout:
    return place_project(solve_plan(project), project).layout


def codes(project: Project) -> set[str]:
    with pytest.raises(DesignError) as caught:
        site_layout(project)
    return {finding.code for finding in caught.value.findings}


@given(RATES, RATES)
def test_supplies_and_takers_lie_along_one_line(supplies, takers):
    parts = share_supplies(list(enumerate(supplies)), list(enumerate(takers)))
    assert sum(part.rate for part in parts) == min(sum(supplies), sum(takers))
    assert [part.supply for part in parts] == sorted(part.supply for part in parts)
    assert [part.taker for part in parts] == sorted(part.taker for part in parts)
    assert len(parts) < len(supplies) + len(takers)
    for number, rate in enumerate(supplies):
        assert sum(part.rate for part in parts if part.supply == number) <= rate
    if sum(supplies) >= sum(takers):
        for number, rate in enumerate(takers):
            assert sum(part.rate for part in parts if part.taker == number) == rate


def test_sections_stand_in_the_order_of_flow():
    project = works()
    names = [s.block.process for s in size_sections(solve_plan(project), project).sections]
    assert names == ["mix-clay", "fire-candle", "punch-seal", "pack-kit"]


def test_a_ring_of_processes_has_an_order_too():
    project = example("relief-plant.yaml")
    order = flow_order(project.processes)
    assert sorted(order) == sorted(project.processes)
    assert order.index("press-candle") < order.index("fire-candle") < order.index("coat-candle")


def test_the_whole_site_is_placed_joined_and_legal():
    layout = site_layout(works())
    assert check_layout(layout) == ()
    assert {station.recipe for station in layout.stations} == set(works().processes)
    assert {source.material for source in layout.sources} == {"clay", "sawdust", "sheet", "tap"}
    carried = carried_materials(layout)
    for gate in layout.gates:
        assert sorted(carried[inlet] for inlet in gate.inlets) == sorted(
            (material,) for material, _ in gate.shares
        )
    assert {carried[drain.belt] for drain in layout.drains} == {("kit",)}


def test_the_whole_site_brings_what_the_plan_says():
    scenario = Scenario("steady", "primed", Fraction(1200), Fraction(600), Fraction(10))
    rate = read_run(simulate_layout(site_layout(works()), scenario)).rate
    assert rate >= Fraction(90, 60) * Fraction(99, 100)


def test_the_whole_site_survives_its_files(tmp_path):
    layout = site_layout(works())
    assert layout_from_document(layout_document(layout)) == layout
    path = tmp_path / "site.yaml"
    path.write_text(layout_yaml(layout, Origin("0")), "utf-8")
    assert read_layout(path)[0] == layout
    assert edited_layout(layout, layout_map(layout), "map.txt") == (layout, ())


def test_docks_stand_where_they_are_to():
    at = {source.material: source.at for source in site_layout(works()).sources}
    assert at["tap"] == Cell(60, 0)
    assert at["clay"].x == at["sawdust"].x == 0


def test_a_dock_may_serve_several_wings():
    layout = site_layout(
        works(site__height=60, site__width=200, site__obstacles=[], choices__row="3")
    )
    (dock,) = [source for source in layout.sources if source.material == "tap"]
    (divert,) = [divert for divert in layout.diverts if divert.inlet == dock.belt]
    assert divert.rule == "overflow"
    assert len(divert.outlets) == 2
    assert check_layout(layout) == ()


def test_a_block_alone_gets_its_docks_where_they_are_to():
    project = example(
        "filter-works.yaml", scope="block", process="fire-candle", architecture="plain"
    )
    dock = {"material": "mix", "rate": "20/s", "at": "0,40"}
    tree = project.document()
    tree["site"]["docks"] = [dock]
    tree["materials"]["mix"]["supply"] = "imported"
    tree["processes"].pop("mix-clay")
    for name in ("clay", "sawdust"):
        tree["materials"].pop(name)
    layout = site_layout(Project.model_validate(tree))
    assert [source.at for source in layout.sources] == [Cell(0, 40)]
    assert {drain.purpose for drain in layout.drains} == {"product"}


def test_no_belt_of_others_crosses_an_obstacle():
    layout = site_layout(works())
    stones = {cell for box in layout.obstacles for cell in box.cells()}
    cells = {cell.at_level(0) for belt in layout.belts for cell in belt.path}
    assert stones
    assert not stones & cells


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("LW427", {"site__width": 50, "site__height": 50, "site__docks": []}),
        ("LW434", {"site__docks": [{"material": "tap", "rate": "15/s", "at": "41,45"}]}),
        ("LW434", {"choices__scope": "block", "choices__supply": "docks"}),
    ],
)
def test_impossible_sites_are_refused_with_the_reason(code: str, changes: Mapping[str, Any]):
    assert codes(works(**changes)) == {code}


@pytest.mark.parametrize(("width", "height"), [(80, 46), (112, 38)])
def test_sections_stand_closer_where_there_is_little_room(width: int, height: int):
    changes: Mapping[str, Any] = {
        "site__width": width,
        "site__height": height,
        "site__margin": 1,
        "site__docks": [],
        "site__obstacles": [],
        "choices__power_node": "none",
    }
    project = works(**changes)
    plan = solve_plan(project)
    with pytest.raises(DesignError, match="LW427"):
        place_site(size_sections(plan, project), project)
    layout = place_project(plan, project).layout
    assert check_layout(layout) == ()
    assert {station.recipe for station in layout.stations} == set(project.processes)


def test_wings_are_put_down_in_any_order_and_named_in_that_of_flow():
    project = works(choices__power_node="none")
    site = size_sections(solve_plan(project), project)
    parts = [block_parts(section.block, project, site.loads) for section in site.sections]
    plan = survey(site, parts, project, 2, 2)
    pieces = plan.pieces.pieces
    for order in ORDERS:
        spots = plan.fit(order)
        boxes = [
            Box(*spot.corner[:2], piece.width, piece.height)
            for spot, piece in zip(spots, pieces, strict=True)
        ]
        assert not any(a.overlaps(b) for a, b in combinations(boxes, 2))
    assert plan.fit("flow") == plan.fit()


def test_what_is_spare_gets_a_drain_of_its_own():
    project = works()
    tree = project.document()
    tree["materials"]["shard"] = {"stack": 4}
    tree["processes"]["fire-candle"]["outputs"] = {"candle": 16, "shard": 1}
    layout = site_layout(Project.model_validate(tree))
    carried = carried_materials(layout)
    waste = {carried[drain.belt] for drain in layout.drains if drain.purpose == "waste"}
    assert ("shard",) in waste or ("candle", "shard") in waste
    assert Box(0, 0, layout.width, layout.height).holds(layout.drains[0].at)


def test_where_first_takers_leave_less_it_is_told():
    """A candle works that also sells candles: packing takes them first, in whole stations."""
    project = works(demand={"kit": "87/min", "candle": "6/min"})
    plan = solve_plan(project)
    found = check_sharing(plan, project, place_project(plan, project).sections)
    assert [finding.code for finding in found] == ["LW312"]
    assert "the dock of candle may get less" in found[0].message
    alone = works(demand={"kit": "87/min"})
    assert check_sharing(solve_plan(alone), alone, size_project(solve_plan(alone), alone)[1]) == ()


def test_a_deposit_is_drawn_from_where_it_lies():
    docks = [{"material": "tap", "rate": "15/s", "at": "60,0"}]
    pits = [{"material": "clay", "rate": "20/s", "at": "90,50"}]
    layout = site_layout(works(site__docks=docks, site__deposits=pits, site__width=150))
    at = {source.material: source.at for source in layout.sources}
    assert at["clay"] == Cell(90, 50)
    assert check_layout(layout) == ()


def test_a_dock_of_more_than_a_belt_is_several_side_by_side():
    docks = [{"material": "tap", "rate": "8/s", "at": "60,0"}]
    larger = {"site__width": 240, "site__height": 160, "site__obstacles": []}
    less = {"materials__tap__stack": 1, "choices__power_node": "none"}
    layout = site_layout(works(site__docks=docks, demand={"kit": "360/min"}, **larger, **less))
    taps = [source for source in layout.sources if source.material == "tap"]
    assert len(taps) == 2
    assert all(tap.at.y == 0 and tap.rate == 4 for tap in taps)
