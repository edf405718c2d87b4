"""Placed layouts: everything free, joined, in reach; and the same rows whichever way they lie."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.block import size_block
from loopwright.finding import DesignError
from loopwright.grid import Box, Cell, Heading
from loopwright.layout import (
    check_layout,
    layout_document,
    layout_from_document,
    place_layout,
    place_project,
)
from loopwright.layout.frame import Frame
from loopwright.layout.layout import Port
from loopwright.layout.module import make_modules
from loopwright.model.site import Obstacle
from loopwright.plan import solve_plan
from tests.layout.design import example, placed

ARCHITECTURES = ("plain", "loop", "pass")


def small(architecture: str, sides: str = "double", **choices: object):
    """The check block at a tenth of its rate."""
    return example(
        "check-block.yaml",
        rate=Fraction(15),
        architecture=architecture,
        sides=sides,
        row=8,
        **choices,
    )


@pytest.mark.parametrize("architecture", ARCHITECTURES)
@pytest.mark.parametrize("sides", ["double", "single"])
def test_each_architecture_stands_free_and_joined(architecture, sides):
    layout = placed(small(architecture, sides))
    assert check_layout(layout) == ()
    assert len(layout.stations) >= 64


def test_a_plain_row_has_a_picker_a_material_and_a_loop_has_one():
    plain, loop = placed(small("plain")), placed(small("loop"))
    assert len(plain.pickers) == 4 * len(plain.stations)
    assert len(loop.pickers) == 2 * len(loop.stations)


def test_quotas_of_every_gate_leave_room_for_each_material():
    for rule in ("counted", "windowed", "scarcest-first"):
        layout = placed(small("loop", gate=rule))
        cells = {belt.name: len(belt.path) for belt in layout.belts}
        for gate in layout.gates:
            loop = sum(cells[name] for name in gate.loop)
            quotas = dict(gate.quotas)
            for material in quotas:
                others = sum(count for name, count in quotas.items() if name != material)
                assert others <= loop - 2
                assert quotas[material] >= 1


def test_the_check_block_in_one_pass():
    """Common practice, no source: nine rows of 64 and a make-up row of 64."""
    layout = placed(example("check-block.yaml", architecture="pass"))
    rows = {station.row for station in layout.stations}
    assert len(rows) == 10
    assert len(layout.stations) == 640
    assert len(layout.gates) == 9
    assert len(layout.side_merges) == 8
    assert sum(belt.role == "output" for belt in layout.belts) == 5


def test_output_belts_bridge_the_collector():
    layout = placed(small("pass"))
    collector = next(belt for belt in layout.belts if belt.role == "collector")
    floor = {(cell.x, cell.y) for cell in collector.path}
    raised = {(cell.x, cell.y) for belt in layout.belts for cell in belt.path if cell.level == 1}
    assert raised
    assert raised <= floor


def test_obstacles_are_passed_by():
    project = small("loop")
    first = placed(project)
    corner = min(cell.y for belt in first.belts for cell in belt.path)
    obstacle = Obstacle(x=20, y=corner + 3, width=5, height=2)
    site = project.site.model_copy(update={"obstacles": (obstacle,)})
    moved = placed(project.model_copy(update={"site": site}))
    assert check_layout(moved) == ()
    assert min(cell.y for belt in moved.belts for cell in belt.path) > corner


def test_a_site_too_small_says_what_would_do():
    project = small("loop")
    site = project.site.model_copy(update={"width": 20})
    with pytest.raises(DesignError) as caught:
        placed(project.model_copy(update={"site": site}))
    (finding,) = caught.value.findings
    assert finding.code == "LW401"
    assert finding.allowed is not None
    assert finding.remedy is not None


@pytest.mark.parametrize("architecture", ["plain", "loop", "pass"])
def test_rows_are_shorter_where_trunks_leave_them_less_room(architecture):
    project = example(
        "check-block.yaml", rate=Fraction(20), architecture=architecture, supply="trunks"
    )
    site = project.site.model_copy(update={"width": 60, "height": 300})
    project = project.model_copy(update={"site": site})
    plan = solve_plan(project)
    with pytest.raises(DesignError, match="LW401"):
        place_layout(size_block(plan, project), project)
    assert check_layout(place_project(plan, project).layout) == ()


def test_more_make_up_rows_than_others_are_refused():
    project = example("check-block.yaml", rate=Fraction(20), architecture="pass")
    site = project.site.model_copy(update={"width": 30, "height": 300})
    project = project.model_copy(update={"site": site})
    block = size_block(solve_plan(project), project)
    with pytest.raises(DesignError, match="16 make-up rows would live on") as caught:
        make_modules(block.architecture, block.sides, block.rows)
    assert [finding.code for finding in caught.value.findings] == ["LW303"]


def test_a_second_column_is_begun_where_the_first_is_full():
    project = small("loop")
    site = project.site.model_copy(update={"height": 40})
    layout = placed(project.model_copy(update={"site": site}))
    assert len({belt.path[0].x for belt in layout.belts if belt.role == "lane"}) > 1


@pytest.mark.parametrize("architecture", ARCHITECTURES)
def test_a_layout_survives_its_document(architecture):
    layout = placed(small(architecture))
    assert layout_from_document(layout_document(layout)) == layout


def test_faults_are_found():
    layout = placed(small("loop"))
    first, *belts = layout.belts
    gap = replace(first, path=(first.path[0], *first.path[2:]))
    picker = replace(layout.pickers[0], target=Port(layout.stations[-1].name))
    drain = replace(layout.drains[0], at=Cell(-1, 0))
    twice = replace(layout.stations[0], name=layout.stations[1].name)
    cases = {
        "LW406": replace(layout, belts=(gap, *belts)),
        "LW413": replace(layout, pickers=(picker, *layout.pickers[1:])),
        "LW404": replace(layout, drains=(drain, *layout.drains[1:])),
        "LW403": replace(layout, stations=(twice, *layout.stations[1:])),
        "LW405": replace(layout, obstacles=(Box(*layout.stations[0].box),)),
        "LW408": replace(layout, belts=tuple(belts)),
    }
    for code, broken in cases.items():
        assert code in {finding.code for finding in check_layout(broken)}


@settings(max_examples=50)
@given(
    st.sampled_from(list(Heading)),
    st.integers(-5, 5),
    st.integers(-5, 5),
    st.integers(1, 6),
    st.integers(1, 6),
)
def test_a_frame_keeps_boxes_and_cells_together(along, u, v, length, depth):
    frame = Frame(Cell(10, 10), along, along.left)
    cells = {frame.cell(u + i, v + j) for i in range(length) for j in range(depth)}
    assert set(frame.box(u, v, length, depth).cells()) == cells


@pytest.mark.parametrize("width", [1, 2, 3])
@pytest.mark.parametrize("architecture", ["loop", "pass"])
def test_no_picker_stands_at_the_last_cell_of_a_loop(width: int, architecture: str) -> None:
    """That cell is always passed over: a station fed there would starve."""
    project = example("filter-kits.yaml", rate=Fraction(6), row=12, architecture=architecture)
    kinds = dict(project.equipment.stations)
    kinds["packer"] = kinds["packer"].model_copy(update={"width": width})
    equipment = project.equipment.model_copy(update={"stations": kinds})
    layout = placed(project.model_copy(update={"equipment": equipment}))
    ends = {(belt.name, len(belt.path) - 1) for belt in layout.belts if belt.role == "lane"}
    turned = {inlet for merge in layout.merges for inlet in merge.inlets if "turn" in merge.name}
    taken = {(picker.source.device, picker.source.index) for picker in layout.pickers}
    assert not {end for end in ends & taken if end[0] in turned}


@pytest.mark.parametrize("architecture", ARCHITECTURES)
def test_a_cell_is_left_free_after_every_few_stations(architecture):
    layout = placed(small(architecture, maintenance_gap=3))
    assert check_layout(layout) == ()
    xs = sorted(station.box.x for station in layout.stations if station.row == "row 1")
    steps = [after - before for before, after in pairwise(xs)]
    assert steps == [3, 3, 4, 3, 3, 4, 3]


@pytest.mark.parametrize("supply", ["docks", "trunks"])
@pytest.mark.parametrize("architecture", ARCHITECTURES)
def test_rows_may_flow_west(architecture, supply):
    """The same layout in a mirror, past the obstacles where these are."""
    project = small(architecture, supply=supply, power_node="none")
    stone, turned = (
        Obstacle(x=30, y=20, width=5, height=2),
        Obstacle(x=385, y=20, width=5, height=2),
    )
    east, west = (
        placed(
            project.model_copy(
                update={
                    "site": project.site.model_copy(update={"obstacles": (one,)}),
                    "choices": project.choices.model_copy(update={"flow": flow}),
                }
            )
        )
        for one, flow in ((stone, "east"), (turned, "west"))
    )
    assert check_layout(west) == ()
    mirror = {belt.name: belt.path for belt in west.belts}
    for belt in east.belts:
        assert mirror[belt.name] == tuple(
            Cell(east.width - 1 - cell.x, cell.y, cell.level) for cell in belt.path
        )


def test_obstacles_may_overlap():
    project = small("loop")
    stones = (Obstacle(x=300, y=90, width=9, height=9), Obstacle(x=305, y=95, width=9, height=9))
    site = project.site.model_copy(update={"obstacles": stones})
    assert check_layout(placed(project.model_copy(update={"site": site}))) == ()


def test_a_dock_with_an_obstacle_right_before_it_is_found():
    layout = placed(small("loop"))
    at = layout.sources[0].at
    found = check_layout(replace(layout, obstacles=(Box(at.x - 1, at.y, 1, 1),)))
    assert [finding.code for finding in found] == ["LW424"]
    assert "before row 1 dock candle" in found[0].message


def test_a_belt_that_rises_at_a_turn_is_found():
    layout = placed(small("loop"))
    belt = layout.belts[0]
    assert not any(cell.level for cell in belt.path)
    away = belt.path[-1].step(Heading.SOUTH).at_level(1)
    bent = replace(belt, path=(*belt.path, away, away.step(Heading.SOUTH).at_level(0)))
    found = check_layout(replace(layout, belts=(bent, *layout.belts[1:])))
    assert "LW423" in {finding.code for finding in found}
