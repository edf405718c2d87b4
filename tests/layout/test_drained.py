"""Drained loops placed: places for what comes back, and a way out for the rest."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from loopwright.finding import DesignError
from loopwright.layout import check_layout
from loopwright.layout.layout import Layout
from loopwright.layout.quota import MOST_PLACES, returned_share
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example, placed


def drained_kits(rows: int = 2, stations: int = 36, **choices: object) -> Layout:
    """Rows of the example block with drained loops."""
    rate = Fraction(rows * stations, 20)
    project = example("filter-kits.yaml", rate=rate, row=stations, gate="drained", **choices)
    return placed(project)


def test_a_drained_loop_has_a_way_out_beside_its_return() -> None:
    layout = drained_kits()
    assert not check_layout(layout)
    gate = layout.gates[0]
    assert (gate.rule, gate.main, gate.loop) == (
        "ratio-locked",
        "row 1 back",
        ("row 1 lane", "row 1 return", "row 1 back"),
    )
    assert gate.told_main == "row 1 back at its places"
    divert = layout.diverts[0]
    assert (divert.rule, divert.outlets) == ("overflow", ("row 1 back", "row 1 waste"))
    drains = [drain for drain in layout.drains if drain.purpose == "waste"]
    assert [drain.belt for drain in drains] == ["row 1 waste", "row 2 waste"]
    assert [*Counter(gate.pattern).items()] == [
        ("row 1 supply candle", 4),
        ("row 1 supply seal", 3),
        ("row 1 back", 3),
        ("row 1 supply tap", 1),
    ]


def test_it_runs_at_full_rate_from_empty() -> None:
    layout = drained_kits()
    span = Fraction(1200)
    begun = simulate_layout(layout, Scenario("a", "empty", span, Fraction(0), span)).end
    ended = simulate_layout(layout, Scenario("b", "empty", span, Fraction(0), span), start=begun)
    made = [
        ended.end.counters.stations[name].ended - count.ended
        for name, count in begun.counters.stations.items()
    ]
    assert set(made) == {60}


def test_a_make_up_row_takes_the_collector_first_and_drains_what_is_too_much() -> None:
    layout = placed(example("filter-kits.yaml", architecture="pass", row="auto", gate="drained"))
    assert not check_layout(layout)
    (name,) = [belt.name for belt in layout.belts if belt.name.endswith("collector")]
    row = name.removesuffix(" collector")
    (head,) = [merge for merge in layout.merges if merge.name == f"{row} head"]
    assert (head.rule, head.inlets) == ("priority", (name, f"{row} back"))
    (divert,) = layout.diverts
    assert (divert.rule, divert.outlets) == ("overflow", (f"{row} back", f"{row} waste"))


def test_with_trunks_it_can_be_placed_too() -> None:
    assert not check_layout(drained_kits(supply="trunks"))


@pytest.mark.parametrize("batch", [2, 3, 5, 8, 24, 59])
@pytest.mark.parametrize(
    "load", [Fraction(1, 3), Fraction(72, 100), Fraction(9, 10), Fraction(97, 100)]
)
def test_what_comes_back_gets_as_much_as_the_row_leaves_free(batch: int, load: Fraction) -> None:
    """Held against all patterns, tried one by one."""
    every = [
        Fraction(back, places)
        for places in range(batch + 1, MOST_PLACES + 1)
        for back in range(1, places)
        if (places - back) % batch == 0 and Fraction(back, places) <= 1 - load
    ]
    if not every:
        with pytest.raises(DesignError, match="LW435"):
            returned_share(batch, load)
        return
    times, back = returned_share(batch, load)
    assert Fraction(back, times * batch + back) == max(every)
    assert times * batch + back <= MOST_PLACES


def test_a_row_that_needs_its_whole_lane_has_none() -> None:
    with pytest.raises(DesignError, match="LW435"):
        returned_share(3, Fraction(1))
