"""Which way rows flow: the whole block, single rows, wings of a site."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from loopwright.finding import DesignError
from loopwright.grid import Heading
from loopwright.grid.path import heading_between
from loopwright.layout import check_layout, place_project
from loopwright.layout.direction import module_flows
from loopwright.layout.layout import Layout
from loopwright.layout.module import make_modules
from loopwright.layout.route.bound import count_belts
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example

SHORT = Scenario("short", "primed", Fraction(120), Fraction(60), Fraction(10))


def laid(**choices: Any) -> Layout:
    project = example("check-block.yaml", rate=Fraction(4), row=6, power_node="none", **choices)
    return place_project(solve_plan(project), project).layout


def lanes(layout: Layout) -> dict[str, Heading | None]:
    """Where the first lane of each row runs to."""
    found = {}
    for belt in layout.belts:
        if belt.role == "lane":
            row = " ".join(belt.name.split()[:2])
            found.setdefault(row, heading_between(*belt.path[:2]))
    return found


@pytest.mark.parametrize("architecture", ["plain", "loop"])
@pytest.mark.parametrize("supply", ["docks", "trunks"])
def test_single_rows_flow_as_they_are_told(architecture, supply):
    layout = laid(architecture=architecture, supply=supply, row_flows=("auto", "auto", "west"))
    found = lanes(layout)
    assert found == {"row 1": Heading.EAST, "row 2": Heading.EAST, "row 3": Heading.WEST}
    assert check_layout(layout) == ()


def test_a_list_goes_before_the_flow_of_the_block():
    found = lanes(laid(architecture="loop", flow="west", row_flows=("auto", "east")))
    assert found == {"row 1": Heading.EAST, "row 2": Heading.EAST, "row 3": Heading.WEST}


def test_turned_rows_bring_as_much_as_before():
    straight, turned = (
        simulate_layout(laid(architecture="pass", row_flows=flows), SHORT).end.counters
        for flows in ((), ("west",))
    )
    assert straight.drains == turned.drains


@pytest.mark.parametrize(
    ("flows", "told"), [(("east", "west"), "share a belt"), (("auto",) * 4, "4 rows are told")]
)
def test_rows_that_cannot_flow_so_are_told(flows, told):
    with pytest.raises(DesignError, match=told) as caught:
        laid(architecture="loop", row_flows=flows)
    (finding,) = caught.value.findings
    assert finding.code == "LW437"
    assert finding.place.path == "choices.row_flows"


def test_a_group_with_a_make_up_row_flows_as_any_of_its_rows_says():
    project = example("check-block.yaml", rate=Fraction(4), row=6, architecture="pass")
    block = place_project(solve_plan(project), project).block
    (module,) = make_modules(block.architecture, block.sides, block.rows)
    assert module_flows([module], "auto", ("auto", "west")) == ["west"]


def test_wings_are_turned_where_that_makes_belts_shorter(monkeypatch: pytest.MonkeyPatch):
    project = example("filter-works.yaml", power_node="none")
    site = project.site.model_copy(update={"width": 150, "height": 60, "obstacles": ()})
    project = project.model_copy(update={"site": site})
    plan = solve_plan(project)
    turned = place_project(plan, project).layout
    monkeypatch.setattr("loopwright.layout.section.fit.MOST_TURNED", 0)
    fitted = place_project(plan, project).layout
    assert count_belts(turned).cells < count_belts(fitted).cells
    assert check_layout(turned) == ()
