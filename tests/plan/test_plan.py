from fractions import Fraction

import pytest

from loopwright.finding import DesignError
from loopwright.plan import check_plan, solve_plan
from tests.plan.sample import equipment, project

CHAIN = {
    "saw": {"inputs": {"log": 1}, "outputs": {"board": 4}, "cycle": "8 s"},
    "join": {"inputs": {"board": 6, "glue": 1}, "outputs": {"crate": 1}, "cycle": "5 s"},
}


def test_products_stand_before_parts() -> None:
    plan = solve_plan(project(CHAIN, {"crate": 2}))
    assert [entry.process for entry in plan.processes] == ["join", "saw"]
    assert [entry.material for entry in plan.materials] == ["crate", "board", "glue", "log"]


def test_rates_and_stations_are_exact() -> None:
    plan = solve_plan(project(CHAIN, {"crate": "1/3"}, equipment=equipment(speed="3/2")))
    saw = plan.process("saw")
    assert saw.cycles == Fraction(1, 2)
    assert saw.stations == Fraction(8, 3)
    assert saw.whole == 3
    assert plan.material("log").imported == Fraction(1, 2)
    assert plan.material("board").flow == 2


def test_whole_stations_are_not_rounded_up_once_too_often() -> None:
    # in floats 0.1 * 3 / 0.1 is a little more than 3
    made = {"mill": {"inputs": {"ore": 1}, "outputs": {"rod": 1}, "cycle": "3 s"}}
    plan = solve_plan(project(made, {"rod": "1/10"}, equipment=equipment(speed="1/10")))
    assert plan.process("mill").whole == 3


def test_power_and_effort_are_those_of_whole_stations() -> None:
    made = {"mill": {"inputs": {"ore": 1}, "outputs": {"rod": 1}}}
    shop = equipment(power="7 kW", effort="1/2")
    plan = solve_plan(project(made, {"rod": "5/2"}, equipment=shop))
    assert (plan.power, plan.effort) == (21, Fraction(3, 2))


def test_a_shared_part_is_made_once_for_all() -> None:
    made = {
        "left": {"inputs": {"pin": 1}, "outputs": {"l": 1}},
        "right": {"inputs": {"pin": 2}, "outputs": {"r": 1}},
        "pinning": {"inputs": {"wire": 1}, "outputs": {"pin": 5}},
        "pair": {"inputs": {"l": 1, "r": 1}, "outputs": {"set": 1}},
    }
    plan = solve_plan(project(made, {"set": 10}))
    assert plan.process("pinning").cycles == 6
    order = [entry.process for entry in plan.processes]
    assert order == ["pair", "left", "right", "pinning"]


def test_a_process_that_feeds_itself() -> None:
    brew = {"brew": {"inputs": {"yeast": 1, "malt": 3}, "outputs": {"yeast": 3}}}
    plan = solve_plan(project(brew, {"yeast": 4}))
    assert plan.process("brew").cycles == 2
    yeast = plan.material("yeast")
    assert (yeast.made, yeast.used, yeast.demanded, yeast.surplus) == (6, 2, 4, 0)


def test_processes_that_feed_each_other() -> None:
    made = {
        "coal": {"inputs": {"steel": 1}, "outputs": {"coal": 10}},
        "steel": {"inputs": {"coal": 5, "ore": 1}, "outputs": {"steel": 1}},
    }
    plan = solve_plan(project(made, {"steel": 1}))
    assert plan.process("steel").cycles == 2
    assert plan.process("coal").cycles == 1


@pytest.mark.parametrize("coal", [4, 5])
def test_a_round_that_eats_itself_is_refused(coal: int) -> None:
    made = {
        "coal": {"inputs": {"steel": 1}, "outputs": {"coal": coal}},
        "steel": {"inputs": {"coal": 5, "ore": 1}, "outputs": {"steel": 1}},
    }
    with pytest.raises(DesignError) as caught:
        solve_plan(project(made, {"steel": 1}))
    (finding,) = caught.value.findings
    assert finding.code == "LW204"
    assert "steel" in finding.message
    assert "coal" in finding.message
    assert finding.remedy is not None
    assert "imported" in finding.remedy


def test_a_by_product_is_surplus_and_told() -> None:
    made = {"press": {"inputs": {"olive": 10}, "outputs": {"oil": 2, "cake": 5}}}
    plan = solve_plan(project(made, {"oil": 4}))
    assert plan.material("cake").surplus == 10
    (finding,) = check_plan(plan)
    assert finding.code == "LW205"
    assert "10/s" in finding.message


def test_of_several_outputs_the_scarcest_sets_the_rate() -> None:
    made = {
        "press": {"inputs": {"olive": 10}, "outputs": {"oil": 2, "cake": 5}},
        "soap": {"inputs": {"oil": 1, "cake": 20}, "outputs": {"bar": 1}},
    }
    plan = solve_plan(project(made, {"bar": 1}))
    assert plan.process("press").cycles == 4
    assert plan.material("oil").surplus == 7
    assert plan.material("cake").surplus == 0


def test_a_by_product_saves_making() -> None:
    made = {
        "pack": {"inputs": {"tray": 2, "egg": 12}, "outputs": {"box": 1, "tray": 1}},
        "mould": {"inputs": {"pulp": 1}, "outputs": {"tray": 1}},
    }
    plan = solve_plan(project(made, {"box": 3}))
    assert plan.process("mould").cycles == 3


def test_a_by_product_may_leave_its_own_maker_idle() -> None:
    made = {
        "pack": {"inputs": {"tray": 1, "egg": 12}, "outputs": {"box": 1, "tray": 2}},
        "mould": {"inputs": {"pulp": 1}, "outputs": {"tray": 1}},
    }
    plan = solve_plan(project(made, {"box": 3}))
    assert plan.process("mould").cycles == 0
    assert plan.material("tray").surplus == 3


def test_a_by_product_saves_importing() -> None:
    made = {"pack": {"inputs": {"tray": 3}, "outputs": {"box": 1, "tray": 1}}}
    plan = solve_plan(project(made, {"box": 3}, materials={"tray": {"supply": "imported"}}))
    tray = plan.material("tray")
    assert (tray.made, tray.imported, tray.used) == (3, 6, 9)


def test_imported_materials_end_the_tree() -> None:
    plan = solve_plan(project(CHAIN, {"crate": 2}, materials={"board": {"supply": "imported"}}))
    assert [entry.process for entry in plan.processes] == ["join"]
    assert plan.material("board").imported == 12


def test_of_several_makers_the_cheapest_runs() -> None:
    made = {
        "cast": {"inputs": {"melt": 2}, "outputs": {"ring": 1}},
        "turn": {"inputs": {"bar": 1}, "outputs": {"ring": 1}},
        "old": {"inputs": {"can": 1}, "outputs": {"melt": 1}, "cycle": "3 s"},
        "new": {"inputs": {"ore": 1}, "outputs": {"melt": 1}},
        "fit": {"inputs": {"ring": 1, "melt": 1}, "outputs": {"hub": 1}},
    }
    plan = solve_plan(project(made, {"hub": 1}))
    assert {entry.process for entry in plan.processes if entry.cycles} == {"fit", "turn", "new"}
    assert plan.process("old").premium == 2
    assert plan.material("melt").value == 2


def test_the_chosen_process_settles_several_makers() -> None:
    made = {
        "cast": {"inputs": {"melt": 1}, "outputs": {"ring": 1}},
        "turn": {"inputs": {"bar": 1}, "outputs": {"ring": 1}},
    }
    plan = solve_plan(project(made, {"ring": 1}, choices={"process": "turn"}))
    assert [entry.process for entry in plan.processes] == ["turn"]


def test_limits_of_stations_and_docks_say_by_how_much() -> None:
    docks = [{"material": "log", "rate": "1/s"}, {"material": "log", "rate": "1/s"}]
    with pytest.raises(DesignError) as caught:
        solve_plan(
            project(CHAIN, {"crate": 2}, equipment=equipment(limit=30), site={"docks": docks})
        )
    findings = caught.value.findings
    assert [finding.code for finding in findings] == ["LW201", "LW202", "LW203", "LW201"]
    _, stations, dock, _ = findings
    assert "34 stations of kind shop" in stations.message
    assert "4 more than the limit of 30" in stations.message
    assert stations.place.path == "equipment.stations.shop.limit"
    assert "1/s are missing" in dock.message
    assert dock.place.path == "site.docks[1].rate"


def test_limits_that_are_just_kept() -> None:
    docks = [{"material": "log", "rate": "2/s"}, {"material": "log", "rate": "1/s"}]
    solve_plan(project(CHAIN, {"crate": 2}, equipment=equipment(limit=34), site={"docks": docks}))


def test_belts_for_each_kind_and_stack() -> None:
    plan = solve_plan(project(CHAIN, {"crate": 2}, materials={"board": {"stack": 3}}))
    boards = {need.stack: need.belts for need in plan.belts if need.material == "board"}
    assert boards == {
        1: Fraction(6, 5),
        2: Fraction(3, 5),
        3: Fraction(2, 5),
        4: Fraction(3, 10),
    }


def test_two_products_share_their_parts() -> None:
    plan = solve_plan(project(CHAIN, {"crate": 2, "board": 4}))
    assert plan.process("saw").cycles == 4
    assert plan.material("board").demanded == 4
