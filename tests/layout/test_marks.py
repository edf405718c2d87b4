"""Which marks carriers have where, and the warning about stations that gain nothing by theirs."""

from __future__ import annotations

from dataclasses import replace

from loopwright.layout import check_layout, place_project
from loopwright.layout.layout import Layout, Port
from loopwright.layout.treatment.marks import LowestMarks, check_marks
from loopwright.plan import solve_plan
from tests.block.test_batch import rinsed
from tests.layouts.build import Build


def line(*levels: tuple[int, int]) -> Build:
    """A belt of 9 cells from a dock of A; `levels` gives cell and level of applicators."""
    build = Build("ABW")
    build.belt("lane", 9)
    build.source("lane", "A")
    build.drain("lane")
    for number, (cell, level) in enumerate(levels):
        build.applicator(f"spray {number}", ("lane", cell), "W", level=level)
    return build


def marks(build: Build, *cells: int, belt: str = "lane") -> list[dict[str, int]]:
    found = LowestMarks(build.layout())
    return [dict(found.at(Port(belt, cell))) for cell in cells]


def test_a_carrier_is_marked_from_the_cell_of_the_applicator_on() -> None:
    assert marks(line((4, 1)), 0, 3, 4, 8) == [{"A": 0}, {"A": 0}, {"A": 1}, {"A": 1}]
    assert marks(line((2, 2), (5, 1)), 1, 2, 6) == [{"A": 0}, {"A": 2}, {"A": 2}]


def test_what_joins_behind_an_applicator_is_unmarked() -> None:
    build = line((4, 1))
    build.belt("side", 3)
    build.source("side", "A")
    build.side_merge("side", "lane", 6)
    assert marks(build, 5, 6, 8) == [{"A": 1}, {"A": 0}, {"A": 0}]
    build = line((4, 1))
    build.belt("side", 3)
    build.source("side", "A")
    build.side_merge("side", "lane", 3)
    assert marks(build, 2, 3, 4) == [{"A": 0}, {"A": 0}, {"A": 1}]


def test_an_applicator_of_some_materials_leaves_others() -> None:
    build = Build("ABW")
    build.belt("lane", 5)
    for name in "AB":
        build.belt(f"{name} way", 2)
        build.source(f"{name} way", name)
    build.merge(["A way", "B way"], "lane")
    build.applicator("spray", ("lane", 2), "W", materials=["A"])
    assert marks(build, 4) == [{"A": 1, "B": 0}]


def test_marks_go_round_a_loop_and_through_a_sorting_divert() -> None:
    build = Build("ABW")
    for name in "AB":
        build.belt(f"{name} way", 3)
        build.source(f"{name} way", name)
    build.applicator("spray", ("A way", 1), "W")
    build.belt("lane", 6)
    build.belt("back", 6, role="return")
    build.belt("out", 2)
    build.gate(["A way", "B way"], "lane", main="back")
    build.divert("lane", ["out", "back"], "material", {"A": "out"})
    assert marks(build, 5) == [{"A": 1, "B": 0}]
    assert marks(build, 1, belt="out") == [{"A": 1}]
    assert marks(build, 5, belt="back") == [{"B": 0}]


def rinse_block() -> Layout:
    project = rinsed(scope="block")
    return place_project(solve_plan(project), project).layout


def test_a_placed_block_has_no_warning() -> None:
    assert [f.code for f in check_layout(rinse_block())] == []


def test_stations_that_get_unmarked_carriers_are_told_once_a_row() -> None:
    layout = rinse_block()
    bare = replace(
        layout, applicators=tuple(one for one in layout.applicators if one.materials == ("cap",))
    )
    found = list(check_marks(bare))
    assert [(f.code, f.severity.value) for f in found] == [("LW443", "warning")] * 2
    assert "candle can come to row 1 unmarked" in found[0].message
    assert found[0].remedy == "let every belt that brings candle pass an applicator"


def test_an_applicator_that_nothing_feeds_is_told() -> None:
    layout = rinse_block()
    bare = replace(layout, pickers=tuple(p for p in layout.pickers if "applicator" not in p.name))
    assert {f.code for f in check_layout(bare)} == {"LW442"}
    moved = replace(layout.applicators[0], index=0)
    astray = replace(layout, applicators=(moved, *layout.applicators[1:]))
    assert "LW440" in {f.code for f in check_layout(astray)}
