"""Trunks: few docks instead of many, and every row still gets what it needs."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.finding import DesignError
from loopwright.layout import check_layout
from loopwright.layout.supply.share import share_docks
from loopwright.model.site import Dock, Obstacle
from loopwright.simulate import simulate_layout
from loopwright.simulate.reading import read_run
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example, placed

PARTS = st.lists(st.fractions(Fraction(1, 50), 1, max_denominator=50), min_size=1, max_size=12)


@given(PARTS, PARTS)
def test_docks_and_rows_lie_along_one_line(demands, docks):
    served = share_docks(demands, docks)
    assert [dock for row in served for dock in row] == sorted(d for row in served for d in row)
    assert {dock for row in served for dock in row} == set(range(len(docks)))
    assert all(served)


def fluid(demands, docks, served):
    """What each row gets where rows are served in order, by an earlier dock first."""
    left, got = list(docks), []
    for demand, beside in zip(demands, served, strict=True):
        need = demand
        for dock in beside:
            given_ = min(need, left[dock])
            left[dock] -= given_
            need -= given_
        got.append(demand - need)
    return got


@given(PARTS, PARTS)
def test_rows_in_order_get_all_they_need_where_the_docks_suffice(demands, docks):
    total = sum(demands)
    docks = [dock * max(Fraction(1), total / sum(docks)) for dock in docks]
    assert fluid(demands, docks, share_docks(demands, docks)) == demands


def test_ten_rows_of_the_check_block_take_nine_supply_belts():
    """Common practice, no source: three belts of each material for 640 stations."""
    layout = placed(example("check-block.yaml", architecture="loop", supply="trunks"))
    assert len(layout.gates) == 10
    assert len(layout.sources) == 9
    for material in ("candle", "tap", "seal"):
        assert sum(source.material == material for source in layout.sources) == 3


@pytest.mark.parametrize("architecture", ["plain", "loop", "pass"])
def test_trunks_bring_the_rate_of_docks(architecture):
    rates = []
    for supply in ("docks", "trunks"):
        project = example(
            "check-block.yaml",
            rate=Fraction(30),
            architecture=architecture,
            row=16,
            supply=supply,
        )
        layout = placed(project)
        scenario = Scenario("steady", "primed", Fraction(240), Fraction(120), Fraction(10))
        rates.append(read_run(simulate_layout(layout, scenario)).rate)
    docks, trunks = rates
    assert abs(trunks - docks) <= docks / 100


def test_the_projects_docks_and_their_rates_are_used():
    project = example("check-block.yaml", rate=Fraction(30), architecture="loop", row=16)
    docks = tuple(Dock(material="tap", rate=Fraction(rate)) for rate in (30, 50))
    project = project.model_copy(
        update={
            "site": project.site.model_copy(update={"docks": docks}),
            "choices": project.choices.model_copy(update={"supply": "trunks"}),
        }
    )
    found = [source for source in placed(project).sources if source.material == "tap"]
    assert [source.rate for source in found] == [Fraction(15, 2), Fraction(25, 2)]


def beside_stones(*stones):
    project = example(
        "check-block.yaml", rate=Fraction(30), architecture="loop", row=16, supply="trunks"
    )
    site = project.site.model_copy(update={"obstacles": stones})
    return project.model_copy(update={"site": site})


def test_trunks_go_round_obstacles():
    stone = Obstacle(x=5, y=20, width=4, height=3)
    straight, round_it = placed(beside_stones()), placed(beside_stones(stone))
    assert check_layout(round_it) == ()
    cells = [sum(len(belt.path) for belt in found.belts) for found in (straight, round_it)]
    assert cells[1] > cells[0]


def test_a_trunk_without_a_way_is_refused():
    with pytest.raises(DesignError, match="no way for"):
        placed(beside_stones(Obstacle(x=0, y=17, width=30, height=4)))


def test_long_bridges_are_found():
    layout = placed(example("check-block.yaml", rate=Fraction(30), row=16, supply="trunks"))
    codes = {finding.code for finding in check_layout(replace(layout, bridge_span=1))}
    assert codes == {"LW421"}
