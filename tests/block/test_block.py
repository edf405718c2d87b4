from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.block import Block, check_block, list_blocks, size_block
from loopwright.finding import DesignError, Finding
from loopwright.model import Project
from loopwright.plan import solve_plan
from tests.block.sample import project


def sized(**changes: Any) -> Block:
    changed = project(**changes)
    return size_block(solve_plan(changed), changed)


def refused(**changes: Any) -> tuple[Finding, ...]:
    with pytest.raises(DesignError) as caught:
        sized(**changes)
    return caught.value.findings


def with_inputs(**inputs: int) -> Project:
    document = project().document()
    document["processes"]["pack"]["inputs"] = inputs
    document["materials"].update({name: {} for name in inputs})
    return Project.model_validate(document)


def test_plain_gives_each_material_a_belt_and_a_picker() -> None:
    block = sized(choices={"architecture": "plain", "sides": "double"})
    assert block.capacity == Fraction(640, 3)
    assert (block.design.lanes, block.design.row) == (10, 64)
    assert block.counts.lanes == 30
    assert block.counts.pickers == 640 * 4
    assert [lane.materials for lane in block.rows[0].lanes] == [("a",), ("b",), ("c",)]
    assert block.rows[0].lanes[0].carriers == (Fraction(3, 4),)


def test_counts_add_up() -> None:
    block = sized(choices={"architecture": "loop"})
    assert block.counts.power == 640 * 75 + 1280 * 5
    assert block.counts.effort == 640 * 10 + 1280


@pytest.mark.parametrize(("stack", "row"), [(1, 16), (4, 64)])
def test_surplus_of_loops_is_larger_with_stacks(stack: int, row: int) -> None:
    materials = {name: {"stack": stack} for name in "abc"}
    block = sized(materials=materials, choices={"architecture": "loop"})
    # capacities 17 7/9 and 71 1/9; a twentieth and a tenth are kept
    assert max(design.row for design in block.designs) == row


def test_a_fixed_surplus_is_kept() -> None:
    block = sized(choices={"architecture": "loop", "surplus": "1/4"})
    assert block.capacity / block.design.row - 1 >= Fraction(1, 4)


@pytest.mark.parametrize(
    ("inputs", "first"),
    [
        ({"a": 1}, "plain"),
        ({"a": 1, "b": 1}, "loop"),
        ({"a": 1, "b": 1, "c": 1}, "loop"),
        ({"a": 1, "b": 1, "c": 1, "d": 1}, "plain"),
    ],
)
def test_first_architecture(inputs: dict[str, int], first: str) -> None:
    changed = with_inputs(**inputs)
    assert size_block(solve_plan(changed), changed).architecture == first


def test_one_input_has_nothing_to_mix() -> None:
    document = with_inputs(a=1).document()
    document["choices"]["architecture"] = "loop"
    changed = Project.model_validate(document)
    with pytest.raises(DesignError) as caught:
        size_block(solve_plan(changed), changed)
    assert [finding.code for finding in caught.value.findings] == ["LW308"]


def test_a_process_without_inputs_has_no_lanes() -> None:
    changed = with_inputs()
    block = size_block(solve_plan(changed), changed)
    assert block.counts.lanes == 0
    assert block.counts.pickers == block.counts.stations >= 640
    assert block.design.lanes == 6


def test_a_row_too_long_for_a_loop() -> None:
    findings = refused(choices={"architecture": "loop", "row": 65, "sides": "double"})
    assert [finding.code for finding in findings] == ["LW303"]
    assert findings[0].allowed == "1 to 64"
    assert "64" in (findings[0].remedy or "")


def test_a_row_too_long_for_a_shared_output_belt() -> None:
    findings = refused(choices={"architecture": "plain", "row": 66, "sides": "double"})
    assert [finding.code for finding in findings] == ["LW303"]
    assert "single" in (findings[0].remedy or "")
    for architecture in ("plain", "pass"):
        assert sized(choices={"architecture": architecture, "row": 66}).sides == "single"


def test_a_belt_that_feeds_no_station() -> None:
    findings = refused(
        equipment={"belts": {"fast": {"speed": "1/5 carriers/s"}}},
        choices={"belt": "fast", "output_belt": "slow", "architecture": "loop"},
    )
    assert {finding.code for finding in findings} == {"LW307"}
    assert "27/64" in (findings[0].remedy or "")
    # at the speed that the remedy names one station is fed, but without the surplus of a loop
    findings = refused(
        equipment={"belts": {"fast": {"speed": "27/64 carriers/s"}}},
        choices={"belt": "fast", "output_belt": "slow", "architecture": "loop"},
    )
    assert {finding.code for finding in findings} == {"LW304"}


def test_an_output_belt_too_slow() -> None:
    findings = refused(
        equipment={"belts": {"slow": {"speed": "1/5 carriers/s"}}}, choices={"output_belt": "slow"}
    )
    assert "LW309" in {finding.code for finding in findings}


def test_rows_that_need_more_stations_than_there_are() -> None:
    stations = {"packer": {"limit": 640}}
    assert sized(equipment={"stations": stations}).counts.stations == 640
    findings = refused(
        equipment={"stations": stations}, choices={"row": 63, "architecture": "loop"}
    )
    assert {finding.code for finding in findings} == {"LW202"}


def test_several_products_need_a_choice() -> None:
    processes = {"wrap": {"station": "packer", "cycle": "1 s", "outputs": {"foil": 1}}}
    changes = {"materials": {"foil": {}}, "processes": processes, "demand": {"foil": "1/s"}}
    assert [finding.code for finding in refused(**changes)] == ["LW301"]
    assert "or `choices.scope` to site" in refused(**changes)[0].remedy
    (asked,) = refused(**changes, choices={"scope": "site"})
    assert "scope" not in asked.remedy
    block = sized(**changes, choices={"process": "pack"})
    assert (block.process, block.product) == ("pack", "kit")


def test_gates() -> None:
    assert sized(choices={"architecture": "loop"}).gate == "scarcest-first"
    assert sized(choices={"architecture": "loop", "gate": "counted"}).gate == "counted"
    assert sized(choices={"architecture": "plain"}).gate == "open"


def test_the_faster_picker_that_commits_is_chosen() -> None:
    pickers = {"quick": {"swing": "1/4 s"}, "grabber": {"swing": "1/9 s", "habit": "grab"}}
    block = sized(equipment={"pickers": pickers})
    assert (block.picker, block.output_picker) == ("quick", "quick")


def test_a_slow_picker_is_told() -> None:
    changed = project(equipment={"pickers": {"arm": {"swing": "2/3 s"}}})
    block = size_block(solve_plan(changed), changed)
    (finding,) = check_block(block, changed)
    assert finding.code == "LW302"
    # nine units in 16/3 s
    assert finding.allowed == "at most 16/27 s a swing"
    just = project(equipment={"pickers": {"arm": {"swing": "16/27 s"}}})
    assert check_block(size_block(solve_plan(just), just), just) == ()


def test_a_picker_that_takes_ahead_is_told_on_mixed_lanes_only() -> None:
    grab = {"pickers": {"arm": {"habit": "grab"}}}
    for architecture, codes in (("loop", ["LW310"]), ("plain", [])):
        changed = project(equipment=grab, choices={"architecture": architecture})
        block = size_block(solve_plan(changed), changed)
        assert [finding.code for finding in check_block(block, changed)] == codes


def test_an_open_pass_is_told() -> None:
    changed = project(demand={"kit": "151/s"}, choices={"architecture": "pass"})
    block = size_block(solve_plan(changed), changed)
    assert not block.design.closed
    assert [finding.code for finding in check_block(block, changed)] == ["LW305"]


def test_a_few_needless_stations_are_worth_a_closed_design() -> None:
    block = sized(demand={"kit": "149/s"}, choices={"architecture": "pass"})
    assert block.design.closed
    assert block.design.stations == 640


@settings(max_examples=40, deadline=None)
@given(st.fractions(min_value=Fraction(1, 20), max_value=400, max_denominator=20))
def test_there_is_a_block_for_any_demand(rate: Fraction) -> None:
    changed = project(demand={"kit": f"{rate}/s"})
    plan = solve_plan(changed)
    blocks = list_blocks(plan, changed)
    assert len({(block.architecture, block.sides) for block in blocks}) == len(blocks) == 6
    for block in blocks:
        assert block.counts.stations == sum(row.stations for row in block.rows)
        assert block.counts.stations >= plan.process("pack").whole
        assert block.counts.stations == block.design.stations
        assert all(row.stations <= block.capacity for row in block.rows)


def test_make_up_rows_stand_at_the_end_of_their_groups() -> None:
    block = sized(demand={"kit": "1500/s"}, choices={"architecture": "pass", "row": 32})
    count = block.design.make_up
    assert count > 1
    assert block.design.lanes % count == 0
    share = block.design.lanes // count
    assert [row.role for row in block.rows] == (["main"] * share + ["make-up"]) * count


def test_rows_fit_on_the_site() -> None:
    narrow = project(site={"width": 100})
    for block in list_blocks(solve_plan(narrow), narrow):
        assert all(row.stations * 3 <= 100 for row in block.rows)
    asked = project(site={"width": 100}, choices={"row": 64})
    assert size_block(solve_plan(asked), asked).design.row == 64


def test_huge_lanes_take_no_time() -> None:
    changed = project(
        processes={"pack": {"cycle": "3600 s"}}, demand={"kit": "10/s"}, site={"width": 4000}
    )
    plan = solve_plan(changed)
    assert plan.process("pack").whole == 28800
    assert len(list_blocks(plan, changed)) == 6
