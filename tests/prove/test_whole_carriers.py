"""Loops on which carriers are taken whole: what is short of a cycle has to leave room for one."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from math import gcd

import pytest

from loopwright.layout import layout_document
from loopwright.layout.layout import Layout
from loopwright.prove.certificate import Certificate
from loopwright.prove.checker import check_certificate
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.jam import measure_recovery
from loopwright.prove.miniature import Miniature, search_miniature
from loopwright.prove.prove import prove_loops
from loopwright.prove.reason import left_on_loop
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.record import digest
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from tests.prove.loops import small_loop

PAIRS = [(1, 2), (1, 4), (2, 2), (2, 3), (2, 4), (3, 2), (3, 4), (4, 3), (4, 6), (5, 3)]


def _least(amount: int, load: int) -> int:
    return amount + load - gcd(amount, load)


@pytest.mark.parametrize(("amount", "load"), PAIRS)
def test_the_threshold_is_exact_on_both_sides(amount: int, load: int) -> None:
    """Searched whole: every cap that holds a cycle, up to two more than the threshold."""
    for cap in range(amount, _least(amount, load) + 3):
        small = Miniature(3, (0,), (amount,), (cap,), "quota", (1,), load=load, picks="whole")
        assert (not search_miniature(small).jams) == (cap >= _least(amount, load)), cap


@pytest.mark.parametrize(("cap", "safe"), [(3, False), (4, True)])
def test_the_threshold_holds_with_two_inputs_and_late_picks(cap: int, safe: bool) -> None:
    small = Miniature(
        4, (0,), (2, 1), (cap, 4), "quota", (1, 2), load=3, picks="whole", late=True
    )  # fmt: skip
    assert (not search_miniature(small).jams) == safe


def _pure(amount: int, load: int, cap: int) -> Layout:
    return small_loop(
        "counted",
        needs={"A": amount},
        caps={"A": cap},
        quotas={"A": 3},
        load=load,
        hand=load,
        takes="carriers",
    )


@pytest.mark.parametrize(("amount", "load"), PAIRS)
def test_finder_and_engine_know_the_same_threshold(amount: int, load: int) -> None:
    least = _least(amount, load)
    for cap in range(max(amount, least - 2), least + 2):
        verdict = prove_loops(_pure(amount, load, cap))[0]
        assert (verdict.outcome == "proved") == (cap >= least), (cap, verdict.because)
    jams = [
        cap
        for cap in range(amount, least)
        if prove_loops(_pure(amount, load, cap))[0].outcome == "refuted"
    ]
    assert jams == list(range(amount, least))


def test_one_picker_that_takes_units_asks_for_room_for_what_it_leaves() -> None:
    """Part-used carriers of any size go round, so a station that takes them whole may lack one."""
    layout = small_loop(
        "counted", needs={"A": 2}, quotas={"A": 3}, load=4, hand=4, takes="carriers"
    )
    pickers = tuple(
        replace(picker, takes="units", hand=1) if picker.name == "in 1" else picker
        for picker in layout.pickers
    )
    for cap, proved in ((4, False), (5, True)):
        stations = tuple(replace(one, caps=(("A", cap),)) for one in layout.stations)
        mixed = replace(layout, pickers=pickers, stations=stations)
        assert isinstance(find_safety(find_rings(mixed)[0]), Claim) == proved


def test_a_full_hand_of_one_unit_is_any_unit() -> None:
    quotas = {"A": 3, "B": 3}
    assert isinstance(find_safety(find_rings(small_loop(quotas=quotas, takes="hands"))[0]), Claim)


def _any_loop(chance: random.Random) -> Layout:
    load = chance.randint(2, 4)
    needs = {"A": chance.randint(1, 4), "B": chance.randint(1, 4)}
    caps = {m: max(n, _least(n, load) + chance.choice((-1, 0, 0, 1, 3))) for m, n in needs.items()}
    lane, back = chance.randint(4, 7), chance.randint(2, 6)
    room = lane + back - 2
    rule = chance.choice(("counted", "windowed", "scarcest-first", "ratio-locked"))
    quotas = {m: chance.randint(1, room + 1) for m in needs}
    pattern = "A" * needs["A"] + "B" * needs["B"]
    return small_loop(
        rule,
        lane=lane,
        back=back,
        needs=needs,
        caps=caps,
        quotas=None if rule == "ratio-locked" else quotas,
        pattern=pattern if rule == "ratio-locked" else "",
        load=load,
        hand=load,
        takes="carriers",
        at=(0, chance.randint(1, lane - 2)),
    )


def goes_on(seed: int) -> bool | None:
    """Whether a loop that is proved still works after outages; None where nothing is proved."""
    chance = random.Random(seed)
    layout = _any_loop(chance)
    ring = find_rings(layout)[0]
    claim = find_safety(ring)
    if not isinstance(claim, Claim):
        return None
    document = layout_document(layout)
    assert not check_certificate(Certificate(digest(document), {}, (claim,)), document)
    outages = tuple(
        Outage(dock.name, Fraction(chance.randint(0, 200)), Fraction(chance.randint(1, 400)))
        for dock in layout.sources
        for _ in range(2)
    )
    span = Fraction(1200)
    begin = "empty" if ring.rule == "ratio-locked" else chance.choice(("empty", "primed"))
    long = Scenario("press", begin, span, Fraction(0), span, outages)
    state = simulate_layout(layout, long).end
    if is_stuck(layout, ring, state):
        return False
    on = Scenario("on", "empty", span, Fraction(0), span)
    later = simulate_layout(layout, on, start=state).end
    return any(
        later.counters.stations[d.station].ended > state.counters.stations[d.station].ended
        for d in ring.drawers
    )


def test_no_proof_is_contradicted_by_stress() -> None:
    found = [goes_on(seed) for seed in range(150)]
    assert False not in found
    assert found.count(True) > 30


def test_a_locked_ratio_counts_with_the_carrier_that_does_not_fit() -> None:
    """Stations leave a carrier of 2 when 5 of 6 are held, so more may go round than with units."""
    whole = small_loop(
        "ratio-locked", pattern="AB", load=2, lane=12, back=12, caps={"A": 6, "B": 6}, hand=2,
        takes="carriers",
    )  # fmt: skip
    ring = find_rings(whole)[0]
    units = find_rings(
        small_loop("ratio-locked", pattern="AB", load=2, lane=12, back=12, caps={"A": 6, "B": 6})
    )[0]
    worth = Fraction(2)
    more, less = left_on_loop(ring, ("A",), worth), left_on_loop(units, ("A",), worth)
    assert more[0][1] == less[0][1] + 2 or less[0][1] == 0
    claim = find_safety(ring)
    assert isinstance(claim, Claim)
    assert "2 stations hold 5, up to 6 of A each" in [reason.text for reason in claim.reasons]


def test_where_the_flow_is_proved_the_rate_comes_back() -> None:
    layout = small_loop(
        "windowed",
        quotas={"A": 3, "B": 3},
        cycle=12,
        load=2,
        hand=2,
        takes="carriers",
        caps={"A": 4, "B": 4},
    )
    ring = find_rings(layout)[0]
    assert isinstance(find_recovery(ring), Claim)
    assert all(run.share == 1 for run in measure_recovery(layout, ring))
