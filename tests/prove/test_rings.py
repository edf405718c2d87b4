"""Loops are found from what is joined, whatever the names."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.prove.part import part_of
from loopwright.prove.ring import Waste
from loopwright.prove.rings import find_rings
from tests.layouts.build import Build
from tests.prove.loops import kits, small_loop


def test_the_example_has_six_loops_of_one_shape() -> None:
    rings = find_rings(kits())
    assert [ring.name for ring in rings] == [f"row {number} lane" for number in range(1, 7)]
    assert len({ring.shape() for ring in rings}) == 1
    ring = rings[0]
    assert (ring.kind, ring.lengths, ring.cells) == ("loop", (108, 108), 216)
    assert ring.quotas == (("candle", 107), ("seal", 80), ("tap", 26))
    assert (ring.seam, ring.main, ring.speed) == ("row 1 lane", "row 1 return", Fraction(5))
    assert len(ring.drawers) == len(ring.taps) == 36
    assert not ring.strangers
    assert not ring.exits


def test_names_do_not_matter() -> None:
    layout = small_loop()
    other = Build("AP")
    other.belt("z", 3)
    other.belt("k", 5)
    other.belt("supply", 2)
    other.source("supply", "A")
    other.merge(["k"], "z")
    other.gate(["supply"], "k", "counted", main="z", quotas={"A": 3}, loop=["z", "k"])
    ring = find_rings(other.layout())[0]
    assert ring.belts == ("k", "z")
    assert ring.seam == "k"
    assert find_rings(layout)[0].belts == ("lane", "return")


def test_a_make_up_row_has_no_gate_and_a_stranger() -> None:
    rings = find_rings(kits(architecture="pass"))
    assert [ring.gate for ring in rings] == [None]
    assert rings[0].strangers == ("row 6 head lets in row 6 collector, and nothing counts it",)


def test_side_merges_diverts_and_pickers_are_told() -> None:
    build = Build("AP")
    for name in ("lane", "return", "supply", "side", "away"):
        build.belt(name, 3)
    build.source("supply", "A")
    build.source("side", "A")
    build.drain("away")
    build.side_merge("side", "lane", 1)
    build.divert("lane", ["return", "away"], "overflow")
    build.gate(["supply"], "lane", "open", main="return", loop=["lane", "return"])
    build.store("box", 3)
    build.picker("to", ("lane", 0), "box")
    build.picker("fro", "box", ("return", 0))
    ring = find_rings(build.layout())[0]
    assert ring.strangers == (
        "side side merge lets in side, and nothing counts it",
        "fro puts down on return",
    )
    assert ring.exits == ("to takes to box",)
    assert ring.waste == Waste("lane divert", "away drain", ("return",))


def test_belts_in_two_rings_are_a_tangle() -> None:
    build = Build("A")
    for name in ("a", "b", "c"):
        build.belt(name, 2)
    build.divert("a", ["b", "c"])
    build.merge(["b", "c"], "a")
    ring = find_rings(build.layout())[0]
    assert (ring.kind, ring.belts) == ("tangle", ("a", "b", "c"))


def test_a_mixed_lane_that_ends_is_told() -> None:
    build = Build("ABP")
    build.belt("lane", 4)
    for material in "AB":
        build.belt(f"supply {material}", 2)
        build.source(f"supply {material}", material)
    build.gate(["supply A", "supply B"], "lane", "open")
    build.station("s", 3, {"A": 1, "B": 1}, {"P": 1})
    build.picker("in", ("lane", 2), "s")
    assert [ring.kind for ring in find_rings(build.layout())] == ["dead end"]


def test_a_picker_at_the_last_cell_of_the_first_belt_stands_at_the_seam() -> None:
    ring = find_rings(small_loop(at=(0, 3)))[0]
    assert [tap.seam for tap in ring.taps] == [False, True]


def test_a_part_holds_what_a_loop_can_touch_and_no_more() -> None:
    layout = kits()
    part = part_of(layout, ("row 1 lane",))
    assert {belt.name.split()[1] for belt in part.belts} == {"1", "2"}
    assert len(part.stations) * 3 == len(layout.stations)
    assert len(part.sources) * 3 == len(layout.sources)
    lone = replace(layout, pickers=())
    assert len(part_of(lone, ("row 1 lane",)).belts) == 5
