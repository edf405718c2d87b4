"""The check block: common practice, no source.

150 units/s from 640 stations: three materials, 12 single-stack belts each, stacked by 4 into nine
lanes.
"""

from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.block import Block, list_blocks, size_block
from loopwright.model import Project
from loopwright.plan import Plan, solve_plan
from tests.block.sample import project

EXAMPLE = Path(__file__).parents[2] / "examples" / "check-block.yaml"


@pytest.fixture(params=["sample", "example"])
def check(request: pytest.FixtureRequest) -> Project:
    if request.param == "sample":
        return project()
    if not EXAMPLE.exists():
        pytest.skip("examples/check-block.yaml is not there yet")
    from loopwright.model import read_project

    return read_project(EXAMPLE)


@pytest.fixture
def plan(check: Project) -> Plan:
    return solve_plan(check)


def in_pass(check: Project) -> Project:
    """The same project with architecture pass, all else open."""
    document = check.document()
    kept = {"process": document["choices"]["process"]}
    return Project.model_validate({**document, "choices": {**kept, "architecture": "pass"}})


@pytest.fixture
def block(check: Project, plan: Plan) -> Block:
    return size_block(plan, in_pass(check))


def test_the_plan(check: Project, plan: Plan) -> None:
    entry = next(entry for entry in plan.processes if entry.stations == 640)
    assert entry.whole == 640
    belt = max(check.equipment.belts, key=lambda name: check.equipment.belts[name].speed)
    inputs = check.processes[entry.process].inputs
    needs = {
        stack: sum(
            need.belts
            for need in plan.belts
            if need.belt == belt and need.stack == stack and need.material in inputs
        )
        for stack in (1, 4)
    }
    assert needs == {1: 36, 4: 9}
    assert sum(rate for rate in check.demand.values()) == 150


def test_lanes(block: Block) -> None:
    assert block.capacity == Fraction(640, 9)
    assert block.output_capacity == 128
    assert [belts for _, belts in block.counts.supplies] == [3, 3, 3]


def test_rows(block: Block) -> None:
    design = block.design
    assert (design.lanes, design.row) == (9, 64)
    assert (design.make_up, design.make_up_row) == (1, 64)
    assert design.fill == Fraction(9, 10)
    assert design.closed
    assert design in block.designs
    assert [row.name for row in block.rows] == [f"row {n}" for n in range(1, 11)]
    assert [row.role for row in block.rows] == ["main"] * 9 + ["make-up"]
    assert {row.stations for row in block.rows} == {64}


def test_outputs_and_counts(block: Block) -> None:
    assert block.sides == "double"
    assert block.counts.stations == 640
    assert block.counts.outputs == 5
    assert block.counts.lanes == 10
    assert block.counts.pickers == 1280


def test_a_loop_needs_the_same_rows(check: Project, plan: Plan) -> None:
    document = check.document()
    free = Project.model_validate({**document, "choices": {}})
    blocks = list_blocks(plan, free)
    assert [block.architecture for block in blocks] == [
        "loop", "loop", "pass", "pass", "plain", "plain"
    ]  # fmt: skip
    best = blocks[0]
    assert (best.design.lanes, best.design.row, best.design.make_up) == (10, 64, 0)
    assert (best.sides, best.counts.outputs, best.gate) == ("double", 5, "scarcest-first")
