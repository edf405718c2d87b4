"""What is proved never to jam is pressed hard: outages at random, again and again."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.layout.layout import Layout
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.jam import measure_recovery
from loopwright.prove.reason import offer
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from tests.prove.loops import kits, small_loop, with_caps, with_quotas

CYCLE, CELLS_A_STATION = 20, 6


def any_layout(chance: random.Random) -> Layout:
    """One placed row with a gate, quotas near the limit and caps by chance."""
    stations = chance.choice((2, 3, 5))
    rate = Fraction(stations, CYCLE)
    rule = chance.choice(("counted", "windowed", "scarcest-first", "ratio-locked", "open"))
    layout = kits(rate=rate, row=stations, gate=rule)
    caps = {"candle": 2, "seal": 3, "tap": 1}
    batches = chance.randint(1, 4)
    uneven = chance.random() < 0.3
    layout = with_caps(
        layout, {m: n * (chance.randint(1, 4) if uneven else batches) for m, n in caps.items()}
    )
    if rule in ("counted", "windowed", "scarcest-first"):
        room = CELLS_A_STATION * stations - 2
        quotas = [chance.randint(1, room) for _ in caps]
        if chance.random() < 0.7:
            half = chance.randint(1, room - 1)
            quotas = [half, room - half, min(half, room - half)]
        layout = with_quotas(layout, rule, dict(zip(caps, quotas, strict=True)))
    return layout


def goes_on(chance: random.Random, layout: Layout, ring: Ring) -> bool:
    """Whether the loop still makes something after many outages."""
    outages = []
    end = 0
    for _ in range(chance.randint(1, 6)):
        for source in chance.sample(layout.sources, chance.randint(1, len(layout.sources))):
            start, span = end + chance.randint(0, 300), chance.randint(1, 2000)
            outages.append(Outage(source.name, Fraction(start), Fraction(span)))
        end = max(int(outage.start + outage.span) for outage in outages)
    begin = chance.choice(("empty", "primed"))
    span = Fraction(end + 2000)
    long = Scenario("press", begin, span, Fraction(0), span, tuple(outages))
    state = simulate_layout(layout, long).end
    if is_stuck(layout, ring, state):
        return False
    on = Scenario("on", "empty", Fraction(2000), Fraction(0), Fraction(2000))
    later = simulate_layout(layout, on, start=state).end
    return any(
        later.counters.stations[d.station].ended > state.counters.stations[d.station].ended
        for d in ring.drawers
    )


def _press(seed: int) -> bool:
    """Whether there was a proof to press; a loop that stops in spite of it fails the test."""
    chance = random.Random(seed)
    layout = any_layout(chance)
    ring = find_rings(layout)[0]
    if not isinstance(find_safety(ring), Claim):
        return False
    for _ in range(3):
        assert goes_on(chance, layout, ring), f"seed {seed} jams in spite of its proof"
    return True


def test_no_proof_is_contradicted_by_stress() -> None:
    assert sum(_press(seed) for seed in range(40)) > 15


@pytest.mark.slow
def test_no_proof_is_contradicted_by_much_stress() -> None:
    assert sum(_press(seed) for seed in range(1000, 1300)) > 100


@pytest.mark.parametrize("stations", [2, 3, 6, 12])
@pytest.mark.parametrize("batches", [2, 3, 5])
def test_where_the_flow_is_proved_the_rate_comes_back(stations: int, batches: int) -> None:
    """Assumption A8, measured: late pickers are left out, outages and both starts are in."""
    layout = kits(rate=Fraction(stations, CYCLE), row=stations, gate="windowed")
    layout = with_caps(layout, {"candle": 2 * batches, "seal": 3 * batches, "tap": batches})
    ring = find_rings(layout)[0]
    if isinstance(find_recovery(ring), Claim):
        assert all(run.share >= Fraction(99, 100) for run in measure_recovery(layout, ring))


def test_a_window_as_long_as_a_turn_will_do_too() -> None:
    layout = kits(rate=Fraction(6, CYCLE), row=6, gate="windowed")
    gates = tuple(replace(gate, window=gate.window - 1) for gate in layout.gates)
    ring = find_rings(replace(layout, gates=gates))[0]
    claim = find_recovery(ring)
    assert isinstance(claim, Claim)
    assert all(run.share == 1 for run in measure_recovery(layout, ring))


@pytest.mark.parametrize("quotas", [(1, 1), (2, 3), (3, 3), (6, 6), (6, 4)])
@pytest.mark.parametrize("shorter", [0, 1])
def test_every_turn_brings_what_the_flow_theorem_says(
    quotas: tuple[int, int], shorter: int
) -> None:
    """Long after the last outage the window never holds less of a material than is offered."""
    layout = small_loop(
        "windowed", quotas=dict(zip("AB", quotas, strict=True)), window=8 - shorter, load=2
    )
    ring = find_rings(layout)[0]
    chance = random.Random(sum(quotas))
    outages = [
        Outage(source.name, Fraction(chance.randint(0, 99)), Fraction(chance.randint(1, 200)))
        for source in layout.sources
    ]
    span = Fraction(500)
    scenario = Scenario("press", "empty", span, Fraction(0), span, tuple(outages))
    state = simulate_layout(layout, scenario).end
    step = Scenario("on", "empty", Fraction(1), Fraction(0), Fraction(1))
    for _ in range(120):
        state = simulate_layout(layout, step, start=state).end
        turn = state.windows["lane gate"][-7:] if shorter == 0 else (*state.windows["lane gate"],)
        for material, quota in ring.quotas:
            assert turn.count(material) >= offer(ring, material) - shorter
            assert turn.count(material) <= (quota or 0)
