"""Demands that cannot be met: which limits conflict, where they stand, how far they must move."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from loopwright.finding import DesignError, Finding
from loopwright.model import check_project, locate_findings
from loopwright.plan import collect_balance, settle, solve_plan
from loopwright.plan.conflict import needed_move, smallest_conflict
from loopwright.plan.formulation import Formulation, formulate
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Conflict
from tests.plan.networks import as_project, network
from tests.plan.sample import equipment, project

CHAIN = {
    "saw": {"inputs": {"log": 1}, "outputs": {"board": 4}, "cycle": "8 s"},
    "join": {"inputs": {"board": 6, "glue": 1}, "outputs": {"crate": 1}, "cycle": "5 s"},
}


def refused(processes: Any, demand: Any, **more: Any) -> tuple[Finding, ...]:
    with pytest.raises(DesignError) as caught:
        solve_plan(project(processes, demand, **more))
    return caught.value.findings


def holds(formulation: Formulation, active: set[int]) -> bool:
    programme = formulation.programme.without(frozenset(set(formulation.limits) - active))
    return not isinstance(solve_programme(programme), Conflict)


@pytest.mark.parametrize("block", range(4))
def test_a_smallest_set_conflicts_and_no_part_of_it_does(block: int) -> None:
    met = 0
    for seed in range(block * 30, block * 30 + 30):
        site = as_project(network(seed, (6, 8, 12, 30)[seed % 4], tight=True))
        formulation = formulate(site, collect_balance(site))
        members = set(smallest_conflict(formulation))
        assert bool(members) == (not holds(formulation, set(formulation.limits)))
        if not members:
            continue
        met += 1
        assert not holds(formulation, members)
        for member in members:
            assert holds(formulation, members - {member})
    assert met > 0


def test_moving_a_limit_as_far_as_told_is_enough_and_less_is_not() -> None:
    met = 0
    for seed in range(60):
        site = as_project(network(seed, 10, tight=True))
        formulation = formulate(site, collect_balance(site))
        for row in smallest_conflict(formulation):
            move = needed_move(formulation, row, frozenset())
            if move is None:
                continue
            met += 1
            sign = 1 if formulation.programme.rows[row].sense == "<=" else -1
            for share, works in ((1, True), (0.999, False)):
                part = move if share == 1 else move * 999 / 1000
                rhs = formulation.programme.rows[row].rhs + sign * part
                moved = formulation.programme.with_rhs({row: rhs})
                assert (not isinstance(solve_programme(moved), Conflict)) == works
    assert met > 5


def test_each_limit_is_named_with_its_line(tmp_path: Path) -> None:
    text = Path("examples/starter.yaml").read_text("utf-8")
    file = tmp_path / "kits.yaml"
    file.write_text(text.replace("rate: 90/min", "rate: 30/min"), encoding="utf-8")
    read, _ = check_project(file)
    assert read is not None
    with pytest.raises(DesignError) as caught:
        settle(read)
    dock, demand = locate_findings(caught.value.findings, file)
    lines = file.read_text("utf-8").split("\n")
    assert dock.place.line is not None
    assert demand.place.line is not None
    assert "30/min" in lines[dock.place.line - 1]
    assert "kit: 60/min" in lines[demand.place.line - 1]
    assert "0.5/s are missing" in dock.message
    assert "0.5/s can be made" in demand.message


def test_rates_of_processes_are_limits_too() -> None:
    most = {**CHAIN, "saw": {**CHAIN["saw"], "most": "2/s"}}
    demand, rate = sorted(refused(most, {"crate": 2}), key=lambda one: one.code)
    assert (demand.code, rate.code) == ("LW201", "LW207")
    assert rate.place.path == "processes.saw.most"
    assert "has to run at 3/s" in rate.message


def test_a_least_rate_can_stand_against_a_dock() -> None:
    least = {**CHAIN, "saw": {**CHAIN["saw"], "least": "5/s"}}
    docks = {"docks": [{"material": "log", "rate": "4/s"}]}
    findings = refused(least, {"crate": 2}, site=docks)
    assert {finding.code for finding in findings} == {"LW203", "LW207"}
    assert any("1/s are missing" in finding.message for finding in findings)


def test_surplus_that_is_forbidden() -> None:
    press = {"press": {"inputs": {"olive": 10}, "outputs": {"oil": 2, "cake": 5}}}
    findings = refused(press, {"oil": 4}, materials={"cake": {"surplus": "forbid"}})
    assert [finding.code for finding in findings] == ["LW208", "LW201"]
    assert "10/s are left over" in findings[0].message


def test_two_reasons_are_both_told() -> None:
    site = {"docks": [{"material": "log", "rate": "1/s"}, {"material": "glue", "rate": "1/s"}]}
    findings = refused(CHAIN, {"crate": 2}, site=site)
    paths = {finding.place.path for finding in findings}
    assert paths == {"demand.crate", "site.docks[1].rate", "site.docks[2].rate"}
    assert any("not enough alone" in (finding.remedy or "") for finding in findings)


def test_a_demand_whose_only_process_may_not_run() -> None:
    still = {"turn": {"inputs": {"bar": 1}, "outputs": {"ring": 1}, "most": "0/s"}}
    (finding,) = refused(still, {"ring": 1})
    assert finding.code == "LW201"
    assert finding.place.path == "demand.ring"


def test_whole_stations_that_no_division_makes_fit() -> None:
    # each takes half a station, and there is one for both
    made = {
        "left": {"inputs": {"pin": 1}, "outputs": {"l": 1}},
        "right": {"inputs": {"pin": 1}, "outputs": {"r": 1}},
        "pair": {"inputs": {"l": 1, "r": 1}, "outputs": {"set": 1}, "station": "bench"},
    }
    kinds = equipment(limit=1)
    kinds["stations"]["bench"] = {}
    (finding,) = refused(made, {"set": "1/2"}, equipment=kinds)
    assert finding.code == "LW202"
    assert "2 stations of kind shop are needed (left 0.5, right 0.5)" in finding.message
