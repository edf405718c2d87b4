"""A whole site: competing makers, treatments, deposits, prices, limits, whole stations."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from loopwright.finding import DesignError
from loopwright.model import read_project
from loopwright.plan import explain_plan, settle, solve_plan
from loopwright.plan.certificate import certificate_text
from loopwright.plan.checker import check_certificate
from loopwright.plan.trace import trace_text
from loopwright.record import Origin
from tests.plan.sample import equipment, project

EXAMPLES = Path(__file__).parents[2] / "examples"
TURN = {"turn": {"inputs": {"bar": 1}, "outputs": {"ring": 1}}}


def kinds(**stations: Any) -> dict[str, Any]:
    return {**equipment(), "stations": stations}


def test_the_check_block_takes_640_stations_128_an_output_belt() -> None:
    site = read_project(EXAMPLES / "check-block.yaml")
    plan = solve_plan(site)
    assert plan.process("pack").stations == 640
    belts = {(need.material, need.stack): need.belts for need in plan.belts}
    assert belts["kit", 1] == 5
    assert plan.process("pack").stations / belts["kit", 1] == 128
    assert {belts[m, 1] for m in ("candle", "tap", "seal")} == {12}
    assert {belts[m, 4] for m in ("candle", "tap", "seal")} == {3}
    text = certificate_text(settle(site).proofs, Origin("sha256:0"))
    assert check_certificate(text) == (("optimal", plan.cost),)


def test_both_makers_run_where_the_cheap_one_is_short() -> None:
    made = {
        "fast": {"inputs": {"bar": 1}, "outputs": {"ring": 1}, "station": "lathe"},
        "slow": {"inputs": {"bar": 1}, "outputs": {"ring": 1}, "cycle": "4 s"},
    }
    stations = kinds(lathe={"limit": 3}, shop={})
    plan = solve_plan(project(made, {"ring": 5}, equipment=stations))
    assert [plan.process(name).cycles for name in ("fast", "slow")] == [3, 2]
    assert plan.material("ring").value == 5
    (lathe,) = [entry for entry in plan.limits if entry.kind == "stations"]
    assert (lathe.used, lathe.limit, lathe.price) == (3, 3, -3)
    assert any("All 3 stations of kind lathe are used" in line for line in explain_plan(plan))


def test_made_or_imported_whichever_costs_less() -> None:
    either = {"ring": {"supply": "either", "price": 3}}
    pair = {**TURN, "join": {"inputs": {"ring": 2}, "outputs": {"chain": 1}}}
    bar = {"bar": {"price": 1}}
    plan = solve_plan(project(pair, {"chain": 1}, materials={**either, **bar}))
    assert (plan.material("ring").made, plan.material("ring").imported) == (2, 0)
    dear = {"bar": {"price": 7}}
    plan = solve_plan(project(pair, {"chain": 1}, materials={**either, **dear}))
    assert (plan.material("ring").made, plan.material("ring").imported) == (0, 2)
    assert plan.process("turn").premium == 5


def test_a_deposit_is_drawn_before_dearer_imports() -> None:
    site = {
        "deposits": [{"material": "bar", "rate": "2/s"}, {"material": "bar", "rate": "1/s"}],
        "docks": [{"material": "bar", "rate": "9/s"}],
    }
    about = {"bar": {"supply": "either", "price": 2}}
    plan = solve_plan(project(TURN, {"ring": 5}, materials=about, site=site))
    bar = plan.material("bar")
    assert (bar.drawn, bar.imported, bar.flow) == (3, 2, 5)
    used = {entry.path: (entry.used, entry.price) for entry in plan.limits}
    assert used["site.deposits[1].rate"] == (2, -2)
    assert used["site.docks[1].rate"] == (2, 0)


def test_a_deposit_is_drawn_no_more_than_needed() -> None:
    site = {"deposits": [{"material": "bar", "rate": "20/s"}]}
    free = {"effort": 0}
    plan = solve_plan(project(TURN, {"ring": 5}, site=site, equipment=equipment(**free)))
    assert plan.material("bar").drawn == 5
    assert plan.material("ring").surplus == 0


def treated(**treatment: Any) -> dict[str, Any]:
    wax = {"agent": "wax", "dose": "1/10", "processes": ["turn"], "yield": "6/5", **treatment}
    return {**equipment(effort=10), "treatments": {"waxing": wax}}


WAX = {**TURN, "brew": {"inputs": {"oil": 1}, "outputs": {"wax": 1}, "cycle": "2 s"}}


def test_a_treatment_that_pays_is_used_and_its_agent_made() -> None:
    plan = solve_plan(project(WAX, {"ring": 6}, equipment=treated(dose="1/20", effort=2)))
    turn = plan.process("turn")
    assert (turn.treatment, turn.cycles, turn.stations) == ("waxing", 5, 5)
    assert (turn.applicators, turn.whole_applicators) == (Fraction(1, 2), 1)
    assert plan.process("brew").cycles == Fraction(1, 4)
    assert plan.material("wax").used == Fraction(1, 4)
    # 5 stations of 10 and 5 bars; half an applicator; wax of 2 s and 1 oil each
    assert plan.cost == 55 + Fraction(1, 2) * 2 + Fraction(1, 4) * 21
    (waxing,) = plan.treatments
    assert (waxing.marked, waxing.spent, waxing.agent) == (5, Fraction(1, 4), "wax")
    assert waxing.saving == 6 * 10 + 6 - plan.cost


def test_a_treatment_that_does_not_pay_is_left() -> None:
    plan = solve_plan(project(WAX, {"ring": 6}, equipment=treated(dose=5)))
    assert plan.process("turn").treatment == ""
    assert plan.treatments == ()


def test_a_treatment_may_make_stations_faster() -> None:
    given = treated(**{"yield": 1, "speed": 3, "dose": "1/100", "effort": 0})
    plan = solve_plan(project(WAX, {"ring": 6}, equipment=given))
    assert (plan.process("turn").treatment, plan.process("turn").stations) == ("waxing", 2)


def test_surplus_that_costs_is_used_up_by_a_process_for_it() -> None:
    made = {
        "press": {"inputs": {"olive": 10}, "outputs": {"oil": 2, "cake": 5}},
        "burn": {"inputs": {"cake": 5}, "outputs": {"ash": 1}},
    }
    drained = solve_plan(project(made, {"oil": 4}))
    assert drained.material("cake").surplus == 10
    assert [entry.process for entry in drained.processes] == ["press"]
    priced = {"cake": {"drain_price": 3}}
    burnt = solve_plan(project(made, {"oil": 4}, materials=priced))
    assert burnt.process("burn").cycles == 2
    assert burnt.material("cake").surplus == 0
    forbidden = {"cake": {"surplus": "forbid"}}
    assert solve_plan(project(made, {"oil": 4}, materials=forbidden)).process("burn").cycles == 2


def test_least_and_most_rates() -> None:
    made = {
        "fast": {"inputs": {"bar": 1}, "outputs": {"ring": 1}, "most": "2/s"},
        "slow": {"inputs": {"bar": 1}, "outputs": {"ring": 1}, "cycle": "4 s"},
        "swarf": {"inputs": {"chip": 1}, "outputs": {"brick": 1}, "least": "1/2 /s"},
    }
    plan = solve_plan(project(made, {"ring": 5}))
    assert [plan.process(name).cycles for name in made] == [2, 3, Fraction(1, 2)]


def test_the_weights_say_what_is_kept_small() -> None:
    made = {
        "hot": {"inputs": {"bar": 1}, "outputs": {"ring": 1}, "station": "kiln"},
        "cold": {"inputs": {"bar": 2}, "outputs": {"ring": 1}, "station": "lathe"},
    }
    stations = kinds(
        kiln={"effort": 1, "power": "90 kW", "width": 2, "height": 2},
        lathe={"effort": 1, "power": "1 kW", "width": 9, "height": 9},
    )

    def chosen(**objective: Any) -> str:
        none = {"effort": 0, "imports": 0}
        choices = {"objective": {**none, **objective}}
        plan = solve_plan(project(made, {"ring": 1}, equipment=stations, choices=choices))
        return next(entry.process for entry in plan.processes if entry.cycles)

    assert chosen(power=1) == "cold"
    assert chosen(floor=1) == "hot"
    assert chosen(imports=1) == "hot"
    assert chosen(power=1, imports=1000) == "hot"


def test_a_product_is_maximised_and_then_made_cheaply() -> None:
    made = {
        "fast": {"inputs": {"bar": 2}, "outputs": {"ring": 1}, "station": "lathe"},
        "slow": {"inputs": {"bar": 1}, "outputs": {"ring": 1}, "cycle": "4 s"},
    }
    stations = kinds(lathe={"limit": 10}, shop={"limit": 8})
    site = {"docks": [{"material": "bar", "rate": "12/s"}]}
    given = project(made, {"ring": 1}, equipment=stations, site=site, choices={"maximise": "ring"})
    plan = solve_plan(given)
    assert plan.maximised == "ring"
    assert plan.material("ring").demanded == 7
    assert [plan.process(name).cycles for name in made] == [5, 2]
    gains = {entry.path: entry.gain for entry in plan.limits}
    assert gains["site.docks[1].rate"] == Fraction(1, 2)
    assert gains["equipment.stations.shop.limit"] == Fraction(1, 8)
    claims = check_certificate(certificate_text(settle(given).proofs, Origin("sha256:0")))
    assert claims == (("optimal", Fraction(-7)), ("optimal", plan.cost))


def test_what_nothing_limits_cannot_be_maximised() -> None:
    with pytest.raises(DesignError) as caught:
        solve_plan(project(TURN, {"ring": 1}, choices={"maximise": "ring"}))
    (finding,) = caught.value.findings
    assert finding.code == "LW209"
    assert "turn" in finding.message


def test_whole_stations_are_divided_where_they_compete() -> None:
    # exact: 3/2 and 3/2 of 3 stations; whole: 2 and 1, the rest on the dear kind
    made = {
        "l": {"inputs": {"pin": 1}, "outputs": {"left": 1}},
        "r": {"inputs": {"pin": 1}, "outputs": {"right": 1}},
        "dear": {"inputs": {"pin": 1}, "outputs": {"right": 1}, "station": "bench"},
        "pair": {"inputs": {"left": 1, "right": 1}, "outputs": {"set": 1}, "station": "table"},
    }
    stations = kinds(shop={"limit": 3}, bench={"effort": 5}, table={})
    given = project(made, {"set": "3/2"}, equipment=stations)
    plan = solve_plan(given)
    assert sum(entry.whole for entry in plan.processes if entry.station == "shop") <= 3
    assert plan.process("l").stations == Fraction(3, 2)
    assert plan.process("r").stations == 1
    assert plan.process("dear").stations == Fraction(1, 2)
    assert {entry.kind for entry in plan.limits} == {"demand", "stations", "share"}
    check_certificate(certificate_text(settle(given).proofs, Origin("sha256:0")))


def test_rounding_up_leaves_spare_cycles() -> None:
    plan = solve_plan(project(TURN, {"ring": "5/2"}))
    assert (plan.process("turn").whole, plan.process("turn").spare) == (3, Fraction(1, 2))


def test_headroom_says_what_stops_growth() -> None:
    site = {"docks": [{"material": "bar", "rate": "8/s"}]}
    plan = solve_plan(project(TURN, {"ring": 5}, site=site, equipment=equipment(limit=100)))
    assert plan.headroom is not None
    assert plan.headroom.factor == Fraction(8, 5)
    assert "site.docks[1].rate" in plan.headroom.paths
    assert solve_plan(project(TURN, {"ring": 5})).headroom is None


def test_a_trace_tells_the_chain_in_fractions() -> None:
    site = project(WAX, {"ring": 6}, equipment=treated(effort=0))
    text = trace_text(site, solve_plan(site), "ring")
    assert "ring 6/s = turn with waxing 6/s" in text
    assert "turn with waxing: 6/s = 5 cycles/s x 1 x waxing 1.2" in text
    assert "wax 0.5/s = brew 0.5/s" in text
    assert "oil 0.5/s = imports 0.5/s" in text
    with pytest.raises(KeyError):
        trace_text(site, solve_plan(site), "gold")


def test_a_trace_of_a_round_ends() -> None:
    brew = {"brew": {"inputs": {"yeast": 1, "malt": 3}, "outputs": {"yeast": 3}}}
    site = project(brew, {"yeast": 4})
    assert "yeast 6/s: see above" in trace_text(site, solve_plan(site), "yeast")
