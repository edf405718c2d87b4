"""What comes by an inlet: the finder and, apart from it, the checker trace it up through trunks."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from loopwright.layout import layout_document
from loopwright.layout.layout import Layout
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.prove import prove_loops
from loopwright.prove.refusal import Refusal
from loopwright.prove.retrace import Supplies
from loopwright.prove.ring import Feed, Ring
from loopwright.prove.rings import find_rings
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from tests.layouts.build import Build
from tests.prove.loops import kits
from tests.prove.trunks import add_loop, any_trunks, row_of_loops


def _feed(layout: Layout, belt: str) -> Feed:
    return next(feed for ring in find_rings(layout) for feed in ring.feeds if feed.belt == belt)


def _agree(layout: Layout, ring: Ring) -> int:
    """How many inlets the finder holds for sure; the checker has to say the same of each."""
    sure = 0
    for feed in ring.feeds:
        assert ring.speed is not None
        supplies = Supplies(layout_document(layout))
        if feed.material is None:
            with pytest.raises(Refusal):
                supplies.inlet(feed.belt, ring.speed)
            continue
        inlet = supplies.inlet(feed.belt, ring.speed)
        assert (feed.material, feed.load, feed.prompt) == (inlet.material, inlet.load, inlet.prompt)
        assert feed.way is not None
        if inlet.way is not None:
            told = (inlet.way.dock, inlet.way.brings, inlet.way.rivals, inlet.way.uses)
            assert told == (feed.way.dock, feed.way.brings, feed.way.stations, feed.way.uses)
        assert (inlet.way is None) == (not feed.shared and len(feed.docks) == 1)
        sure += 1
    return sure


def test_finder_and_checker_trace_any_trunks_alike() -> None:
    sure = inlets = 0
    for seed in range(150):
        layout = any_trunks(random.Random(seed))
        for ring in find_rings(layout):
            sure += _agree(layout, ring)
            inlets += len(ring.feeds)
    assert inlets // 2 < sure < inlets


def press_trunks(seed: int) -> dict[str, bool]:
    """Which loops that are proved still work after outages of all docks, on trunks of chance."""
    chance = random.Random(seed)
    layout = any_trunks(chance)
    outages = tuple(
        Outage(dock.name, Fraction(chance.randint(0, 400)), Fraction(chance.randint(1, 600)))
        for dock in layout.sources
    )
    begin = chance.choice(("empty", "primed"))
    span = Fraction(4000)
    long = Scenario("press", begin, span, Fraction(0), span, outages)
    state = simulate_layout(layout, long).end
    on = Scenario("on", "empty", span, Fraction(0), span)
    later = simulate_layout(layout, on, start=state).end
    return {
        ring.name: any(
            later.counters.stations[d.station].ended > state.counters.stations[d.station].ended
            for d in ring.drawers
        )
        for ring in find_rings(layout)
        if isinstance(find_safety(ring), Claim)
    }


def test_what_is_sure_to_come_comes() -> None:
    """Every loop that is proved goes on working for ever, with or without an outage before."""
    found = {seed: press_trunks(seed) for seed in range(60)}
    assert all(all(works.values()) for works in found.values()), found
    assert sum(len(works) for works in found.values()) > 60


def test_those_before_may_take_all_and_then_nothing_is_proved() -> None:
    """Two stations with cycles of 5 s use 2/5 a second: the third loop is sure of the rest only."""
    enough, short = row_of_loops(Fraction(9, 10)), row_of_loops(Fraction(4, 5))
    way = _feed(enough, "trunk 3").way
    assert way is not None
    assert (way.dock, way.brings, way.stations, way.uses) == (
        "A dock",
        Fraction(9, 10),
        4,
        Fraction(4, 5),
    )
    assert [v.outcome for v in prove_loops(enough, runs=False)[::2]] == ["proved"] * 3
    verdict = prove_loops(short, runs=False)[4]
    assert verdict.outcome == "undecided"
    assert verdict.because == (
        "trunk 3 need not get anything: A dock brings 4/5 carriers/s, 4 stations that are served "
        "before use 4/5",
    )


def test_the_last_loop_starves_where_nothing_is_proved() -> None:
    """The counterpart: with a dock that brings 2/5 the first of three loops takes all."""
    layout = row_of_loops(Fraction(2, 5), cycle=5)
    assert _feed(layout, "trunk 3").material is None
    span = Fraction(3000)
    state = simulate_layout(layout, Scenario("x", "empty", span, Fraction(0), span)).end
    later = simulate_layout(layout, Scenario("y", "empty", span, Fraction(0), span), start=state)
    last = [f"loop 3 station {n}" for n in (1, 2)]
    made = [
        later.end.counters.stations[name].ended - state.counters.stations[name].ended
        for name in last
    ]
    assert sum(made) == 0


def test_halves_are_sure_whoever_else_is_served() -> None:
    layout = row_of_loops(Fraction(1, 10), rule="alternate")
    assert [v.outcome for v in prove_loops(layout, runs=False)[::2]] == ["proved"] * 3
    way = _feed(layout, "trunk 3").way
    assert way is not None
    assert way.stations == 0


def test_a_shared_dock_is_given_in_the_claim_and_rate_is_left_to_runs() -> None:
    ring = find_rings(row_of_loops(Fraction(1)))[1]
    claim = find_safety(ring)
    assert isinstance(claim, Claim)
    assert claim.given[-1] == "A9"
    recovery = find_recovery(find_rings(kits(supply="trunks", gate="windowed"))[1])
    assert isinstance(recovery, tuple)
    assert "row 2 supply candle shares its docks" in recovery[0].text


def _loop_fed(build: Build, belt: str) -> Feed:
    own = build.belt("supply B", 2, role="supply")
    build.source(own, "B")
    add_loop(build, "loop", {"A": belt, "B": own})
    layout = build.layout()
    ring = find_rings(layout)[0]
    _agree(layout, ring)
    return _feed(layout, belt)


def _joined(rule: str = "merge") -> Build:
    build = Build("ABCP", stack=2)
    for name in ("one", "two", "supply"):
        build.belt(name, 2)
    build.source("one", "A", 1)
    if rule == "merge":
        build.merge(["one", "two"], "supply")
    else:
        build.merge(["one"], "supply")
        build.side_merge("two", "supply", 1)
    return build


@pytest.mark.parametrize("rule", ["merge", "side"])
def test_docks_of_one_material_may_join(rule: str) -> None:
    build = _joined(rule)
    build.source("two", "A", Fraction(1, 7))
    feed = _loop_fed(build, "supply")
    assert (feed.material, feed.docks) == ("A", ("one source", "two source"))


def test_docks_of_two_materials_or_loads_may_not() -> None:
    build = _joined()
    build.source("two", "C")
    assert _loop_fed(build, "supply").fault == ("brings A, C: one that waits can hold up another")
    build = _joined()
    build.source("two", "A", load=2)
    assert _loop_fed(build, "supply").fault == "brings carriers of different loads"


def test_what_else_makes_a_supply_uncertain_is_told() -> None:
    assert "begins with two, which nothing feeds" in _loop_fed(_joined(), "supply").fault
    build = _joined()
    build.source("two", "A")
    build.store("box", 4)
    build.picker("out", ("one", 1), "box")
    assert "is drawn on by out" in _loop_fed(build, "supply").fault
    build = _joined()
    build.source("two", "A")
    build.store("box", 4)
    build.picker("back", "box", ("one", 1))
    assert "has things put on it by back" in _loop_fed(build, "supply").fault
    build = Build("ABP", stack=1)
    for name in ("round", "on", "supply"):
        build.belt(name, 2)
    build.divert("on", ["round", "supply"])
    build.merge(["round"], "on")
    assert "comes out of a ring of belts" in _loop_fed(build, "supply").fault
    build = Build("ABP", stack=1)
    for name in ("first", "supply"):
        build.belt(name, 2)
    build.source("first", "A")
    build.gate(["first"], "supply")
    assert "comes through another gate" in _loop_fed(build, "supply").fault


def test_a_divert_by_material_leads_it_here_or_elsewhere() -> None:
    for outlet, sure in (("supply", True), ("away", False)):
        build = Build("ABP", stack=1)
        for name in ("first", "supply", "away"):
            build.belt(name, 2)
        build.source("first", "A")
        build.divert("first", ["away", "supply"], "material", {"A": outlet})
        build.drain("away")
        assert (_loop_fed(build, "supply").material == "A") is sure


def test_a_drain_served_before_may_take_all() -> None:
    build = Build("ABP", stack=1)
    for name in ("first", "supply", "away"):
        build.belt(name, 2)
    build.source("first", "A")
    build.divert("first", ["away", "supply"], "overflow")
    build.drain("away")
    assert _loop_fed(build, "supply").fault == (
        "need not get anything: others may take all that comes"
    )
