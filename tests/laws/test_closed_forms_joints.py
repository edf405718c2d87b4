"""Closed forms of merges, side merges and diverts."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.layout.layout import Layout
from tests.engines import Engine, history
from tests.layouts.build import Build

LENGTH = 3
"""Cells of each inlet belt."""

SHARES = [
    (".7", ".2"),
    (".7", ".6"),
    (".3", ".9"),
    ("1", "1/2"),
    ("1/4", "1/2"),
    ("1/3", "2/3"),
    ("1/5", "1/2", "9/10"),
    ("9/10", "1/10", "1/2"),
    ("2/5", "3/10", "1/2"),
    ("1/10", "1/5", "3/10"),
    ("1", "1", "1"),
]


def lanes_into_one(rates: Sequence[str | Fraction], rule: str) -> Layout:
    """Inlets `in 1`, `in 2`, ... with supplies of the given rates, all belts one step a second."""
    build = Build()
    inlets = [build.belt(f"in {number}", LENGTH) for number in range(1, len(rates) + 1)]
    for inlet, rate in zip(inlets, rates, strict=True):
        build.source(inlet, rate=rate)
    build.belt("out", 2)
    build.drain("out")
    if rule == "side":
        build.merge(inlets[:1], "out", name="joint 1")
        build.side_merge(inlets[1], "out", 1, name="joint 2")
    else:
        build.merge(inlets, "out", rule, name="joint")
    return build.layout()


def by_priority(rates: Sequence[Fraction]) -> list[Fraction]:
    """Fluid shares of a joint of capacity 1: each inlet gets what the ones before leave over."""
    shares: list[Fraction] = []
    for rate in rates:
        shares.append(min(rate, 1 - sum(shares)))
    return shares


def max_min_fair(rates: Sequence[Fraction]) -> list[Fraction]:
    """Fluid shares of capacity 1, filled up evenly: D. Bertsekas and R. Gallager, Data Networks,
    section 6.5.2 (from memory)."""
    shares = [Fraction(0)] * len(rates)
    left = Fraction(1)
    growing = set(range(len(rates)))
    while growing and left:
        rise = min(left / len(growing), min(rates[i] - shares[i] for i in growing))
        for i in growing:
            shares[i] += rise
        left -= rise * len(growing)
        growing = {i for i in growing if shares[i] < rates[i]}
    return shares


def slack(lanes: int) -> int:
    """How far counts may stray from steps x share, for ever.

    A lane that gets all it brings is behind its supply by the carriers on its belt and one more
    in credit: LENGTH + 1. The first LENGTH steps pass nothing. A lane that is cut short gets what
    the others leave over, so it may carry the strays of all lanes and of the start together.
    """
    return lanes * (LENGTH + 1) + LENGTH


def passed(engine: Engine, layout: Layout, steps: int) -> list[int]:
    """Carriers passed by each inlet, over all joints."""
    joints = engine.run(layout, steps)["counters"]["joints"]
    return [count for name in sorted(joints) for count in joints[name]["passed"]]


def test_max_min_fair_by_hand() -> None:
    """Values from the same section."""
    assert max_min_fair([Fraction(7, 10), Fraction(2, 10)]) == [Fraction(7, 10), Fraction(2, 10)]
    assert max_min_fair([Fraction(7, 10), Fraction(6, 10)]) == [Fraction(1, 2), Fraction(1, 2)]
    assert max_min_fair([Fraction(3, 10), Fraction(9, 10)]) == [Fraction(3, 10), Fraction(7, 10)]


@pytest.mark.parametrize("rates", SHARES)
@pytest.mark.parametrize("rule", ["alternate", "priority"])
def test_fluid_shares_of_a_merge(engine: Engine, rates: tuple[str, ...], rule: str) -> None:
    """The stray of the counts from steps x share stays bounded however long the run."""
    exact = [Fraction(rate) for rate in rates]
    shares = max_min_fair(exact) if rule == "alternate" else by_priority(exact)
    layout = lanes_into_one(rates, rule)
    for steps in (100, 400, 1200):
        for count, share in zip(passed(engine, layout, steps), shares, strict=True):
            assert abs(count - steps * share) <= slack(len(rates))


@settings(deadline=None, max_examples=15)
@given(
    rates=st.lists(st.fractions(0, 1, max_denominator=12), min_size=2, max_size=3),
    rule=st.sampled_from(["alternate", "priority"]),
)
def test_fluid_shares_for_any_rates(engine: Engine, rates: list[Fraction], rule: str) -> None:
    shares = max_min_fair(rates) if rule == "alternate" else by_priority(rates)
    for count, share in zip(passed(engine, lanes_into_one(rates, rule), 400), shares, strict=True):
        assert abs(count - 400 * share) <= slack(len(rates))


@pytest.mark.parametrize("rates", [rates for rates in SHARES if len(rates) == 2])
def test_side_merge_shares_as_priority(engine: Engine, rates: tuple[str, str]) -> None:
    """The main belt goes first, the flank gets its gaps."""
    shares = by_priority([Fraction(rate) for rate in rates])
    layout = lanes_into_one(rates, "side")
    for steps in (100, 400, 1200):
        for count, share in zip(passed(engine, layout, steps), shares, strict=True):
            assert abs(count - steps * share) <= slack(2)


@pytest.mark.parametrize("lanes", [1, 2, 3])
def test_saturated_alternating_merge(engine: Engine, lanes: int) -> None:
    """With all heads occupied the counts differ by at most 1 at every tick, the first ahead."""
    layout = lanes_into_one(["1"] * lanes, "alternate")
    for state in history(engine, layout, 20):
        joint = state["counters"]["joints"]["joint"]
        acts = max(0, state["tick"] - LENGTH)
        assert joint["offered"] == state["tick"]
        assert joint["passed"] == [(acts + lanes - 1 - lane) // lanes for lane in range(lanes)]


def test_side_merge_uses_gaps_only(engine: Engine) -> None:
    """A flank is offered exactly the gaps that come past, and none of a full main belt."""
    full = engine.run(lanes_into_one(["1", "1"], "side"), 100)["counters"]["joints"]
    # The first carrier of main is on the flank cell from step LENGTH + 2 on; before, all is gaps.
    assert full["joint 2"] == {"offered": LENGTH + 1, "passed": [1]}
    # Main's carriers come at steps 2, 4 ... and are on the flank cell LENGTH + 1 steps later.
    steps = 100 + LENGTH + 1
    half = engine.run(lanes_into_one(["1/2", "1"], "side"), steps)["counters"]["joints"]
    assert half["joint 1"]["passed"] == [50]
    assert half["joint 2"]["offered"] == steps - 50


def fan(rule: str, lanes: int, filters: dict[str, str] | None = None) -> Layout:
    """A belt `in` of 12 cells that splits to `out 1`, `out 2`, ..., each with a drain."""
    build = Build("ABCD")
    build.belt("in", 12)
    outlets = [build.belt(f"out {number}", 2) for number in range(1, lanes + 1)]
    for outlet in outlets:
        build.drain(outlet)
    build.divert("in", outlets, rule, filters, name="split")
    return build.layout()


@pytest.mark.parametrize("lanes", [2, 3])
def test_alternating_divert(engine: Engine, lanes: int) -> None:
    """Of n carriers the outlets get the ceilings and floors of n / lanes, the first ahead."""
    layout = fan("alternate", lanes)
    for carriers in range(13):
        start = engine.run(layout, 0)
        start["belts"]["in"] = [None] * (12 - carriers) + [["A", 1]] * carriers
        end = engine.run(layout, 20, state=start)
        expected = [(carriers + lanes - 1 - lane) // lanes for lane in range(lanes)]
        assert end["counters"]["diverts"]["split"] == expected


@given(materials=st.lists(st.sampled_from("ABCD"), min_size=12, max_size=12))
@settings(deadline=None, max_examples=10)
def test_divert_by_material(engine: Engine, materials: list[str]) -> None:
    """Named materials leave by their outlet, all others by the last."""
    layout = fan("material", 3, {"A": "out 1", "B": "out 2"})
    start = engine.run(layout, 0)
    start["belts"]["in"] = [[material, 2] for material in materials]
    drains = engine.run(layout, 20, state=start)["counters"]["drains"]
    for outlet, named in (("out 1", "A"), ("out 2", "B"), ("out 3", "CD")):
        expected = {m: materials.count(m) for m in named if m in materials}
        assert drains[f"{outlet} drain"]["carriers"] == expected


def stub(rule: str) -> Layout:
    """A belt of 6 cells that splits to `dead`, without exit, and `free`, with a drain."""
    build = Build("AB")
    build.belt("in", 6)
    build.belt("dead", 2)
    build.belt("free", 2)
    build.drain("free")
    build.divert("in", ["dead", "free"], rule, {"A": "dead"}, name="split")
    return build.layout()


def test_divert_by_material_waits(engine: Engine) -> None:
    """A carrier whose outlet is full blocks the ones behind, whatever room the other has."""
    layout = stub("material")
    start = engine.run(layout, 0)
    start["belts"]["in"] = [["B", 1], ["B", 1], ["A", 1], ["A", 1], ["A", 1], ["B", 1]]
    end = engine.run(layout, 20, state=start)
    assert end["counters"]["diverts"]["split"] == [2, 1]
    assert end["belts"]["in"] == [None, None, None, ["B", 1], ["B", 1], ["A", 1]]


def test_overflow(engine: Engine) -> None:
    """The first outlet fills up; only what finds it full goes on to the next."""
    layout = stub("overflow")
    start = engine.run(layout, 0)
    start["belts"]["in"] = [["A", 1]] * 6
    end = engine.run(layout, 20, state=start)
    assert end["counters"]["diverts"]["split"] == [2, 4]


def test_alternating_divert_passes_a_blocked_outlet_by(engine: Engine) -> None:
    """The turn goes to the next outlet with room; it is not lost on the full one."""
    layout = stub("alternate")
    start = engine.run(layout, 0)
    start["belts"]["in"] = [["A", 1]] * 6
    end = engine.run(layout, 20, state=start)
    assert end["counters"]["diverts"]["split"] == [2, 4]
    assert end["turns"]["split"] == 0


def test_overflow_onto_a_slow_outlet(engine: Engine) -> None:
    """An outlet at half the speed takes every second carrier."""
    build = Build()
    build.belt("in", 3)
    build.source("in")
    build.belt("slow", 3, Fraction(1, 2))
    build.belt("fast", 3)
    build.drain("slow")
    build.drain("fast")
    build.divert("in", ["slow", "fast"], "overflow", name="split")
    end = engine.run(build.layout(), 3 + 100)
    assert end["counters"]["diverts"]["split"] == [50, 50]
