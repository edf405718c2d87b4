"""Docks at given places where things leave, in blocks and on sites."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from loopwright.finding import DesignError
from loopwright.grid import Cell
from loopwright.layout import check_layout, place_project
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example

SHORT = Scenario("short", "primed", Fraction(120), Fraction(60), Fraction(10))


def with_docks(project: Project, *docks: dict[str, str], **site: Any) -> Layout:
    tree = project.document()
    tree["site"] |= {"outgoing": list(docks), **site}
    changed = Project.model_validate(tree)
    layout = place_project(solve_plan(changed), changed).layout
    assert check_layout(layout) == ()
    return layout


def block(**choices: Any) -> Project:
    return example("check-block.yaml", rate=Fraction(4), row=6, power_node="none", **choices)


def test_the_product_of_a_site_leaves_where_it_is_to():
    layout = with_docks(example("filter-works.yaml"), {"material": "kit", "at": "111,10"})
    (drain,) = layout.drains
    assert (drain.at, drain.purpose) == (Cell(111, 10), "product")
    assert carried_materials(layout)[drain.belt] == ("kit",)
    assert simulate_layout(layout, SHORT).end.counters.drains[drain.name].units["kit"] > 100


@pytest.mark.parametrize(
    ("side", "edge"), [("west", "x"), ("north", "y"), ("east", "x"), ("south", "y")]
)
def test_a_side_will_do(side, edge):
    layout = with_docks(example("filter-works.yaml"), {"material": "kit", "side": side})
    (drain,) = layout.drains
    last = {"east": layout.width - 1, "south": layout.height - 1}
    assert getattr(drain.at, edge) == last.get(side, 0)


@pytest.mark.parametrize("architecture", ["plain", "loop", "pass"])
@pytest.mark.parametrize("supply", ["docks", "trunks"])
def test_the_product_of_a_block_leaves_where_it_is_to(architecture, supply):
    project = block(architecture=architecture, supply=supply)
    layout = with_docks(project, {"material": "kit", "at": "0,40"}, width=90, height=90)
    assert [drain.at for drain in layout.drains if drain.purpose == "product"] == [Cell(0, 40)]
    rows = {source.name.rpartition(" dock ")[0] for source in layout.sources}
    assert any(name.startswith("row") for name in rows) == (supply == "docks")
    run = simulate_layout(layout, SHORT).end.counters
    plain = place_project(solve_plan(project), project).layout
    before = simulate_layout(plain, SHORT).end.counters
    assert total(run) >= total(before) * Fraction(9, 10)  # the way to the dock has to fill


def total(counters: Any) -> int:
    return sum(units for held in counters.drains.values() for units in held.units.values())


def test_several_docks_share_the_belts_and_one_takes_several_side_by_side():
    project = _busy()
    one = with_docks(project, {"material": "kit", "at": "0,60"}, width=200, height=200)
    spots = sorted(drain.at for drain in one.drains)
    assert len(spots) > 1
    assert all(spot.x == 0 for spot in spots)
    assert Cell(0, 60) in spots
    docks = ({"material": "kit", "side": "west"}, {"material": "kit", "side": "north"})
    two = with_docks(project, *docks, width=200, height=200)
    assert {drain.at.x == 0 for drain in two.drains} == {True, False}


def _busy() -> Project:
    """More kits than one belt takes."""
    return example("check-block.yaml", rate=Fraction(40), architecture="loop", power_node="none")


@pytest.mark.parametrize(
    ("dock", "code"),
    [
        ({"material": "kit", "at": "41,45"}, "LW434"),
        ({"material": "candle", "side": "west"}, "LW438"),
    ],
)
def test_a_place_that_will_not_do_is_told(dock, code):
    with pytest.raises(DesignError) as caught:
        with_docks(example("filter-works.yaml"), dock)
    (finding,) = caught.value.findings
    assert finding.code == code
    assert finding.place.path == "site.outgoing[1]"


def test_what_is_spare_leaves_where_it_is_to():
    tree = example("filter-works.yaml").document()
    tree["materials"]["shard"] = {"stack": 4}
    tree["processes"]["fire-candle"]["outputs"] = {"candle": 16, "shard": 1}
    layout = with_docks(Project.model_validate(tree), {"material": "shard", "side": "south"})
    carried = carried_materials(layout)
    (waste,) = [drain for drain in layout.drains if "shard" in carried[drain.belt]]
    assert waste.purpose == "waste"
    assert waste.at.y == layout.height - 1
