"""Two verdicts for each loop, and runs that show what is refuted."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.layout.layout import Layout
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.prove import prove_loops
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.prove.text import percent, verdicts_text
from loopwright.prove.verdict import Verdict
from loopwright.simulate import simulate_layout
from loopwright.simulate.clock import whole_ticks
from loopwright.simulate.document import state_document, state_from_document
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Scenario
from tests.engines import ReferenceEngine
from tests.prove.loops import kits, small_loop, with_caps, with_quotas


def _outcomes(verdicts: tuple[Verdict, ...]) -> list[str]:
    return [verdict.outcome for verdict in verdicts]


def _stands(layout: Layout, verdict: Verdict) -> bool:
    """Whether the jam of `verdict` comes about in the engine, and nothing is made after it."""
    jam = verdict.jam
    assert jam is not None
    end = simulate_layout(layout, jam.scenario, start=jam.start).end
    hour = Fraction(3600)
    calm = Scenario("on", "empty", hour, Fraction(0), hour)
    later = simulate_layout(layout, calm, start=end).end
    made = [
        later.counters.stations[drawer.station].started
        - end.counters.stations[drawer.station].started
        for drawer in verdict.ring.drawers
    ]
    return is_stuck(layout, verdict.ring, end) and not any(made)


def test_scarcest_first_is_proved_not_to_jam_and_measured_to_recover() -> None:
    verdicts = prove_loops(kits(gate="scarcest-first"))
    assert len(verdicts) == 12
    assert _outcomes(verdicts) == ["proved", "undecided"] * 6
    assert {run.share for verdict in verdicts for run in verdict.runs} == {1}
    assert {run.missing for run in verdicts[1].runs} == {None, "candle", "seal", "tap"}


def test_the_example_is_proved_on_both_counts() -> None:
    assert _outcomes(prove_loops(kits())) == ["proved", "proved"] * 6


def test_the_example_with_open_gates_jams_for_all_to_see() -> None:
    layout = kits(gate="open")
    verdicts = prove_loops(layout)
    assert _outcomes(verdicts) == ["refuted"] * 12
    assert all(_stands(layout, verdict) for verdict in verdicts[::4])
    assert verdicts[0].remedies[0].startswith("choose gate: scarcest-first, with quotas")


def test_an_open_gate_in_the_ratio_of_the_recipe_jams_after_an_outage() -> None:
    layout = small_loop("open", cycle=20)
    safety, recovery = prove_loops(layout)
    assert safety.jam is not None
    assert safety.jam.missing in ("A", "B")
    assert safety.jam.span > 0
    assert _stands(layout, safety)
    assert recovery.outcome == "refuted"


@pytest.mark.parametrize(
    "layout",
    [
        small_loop("open", cycle=20),
        small_loop("counted", quotas={"A": 7, "B": 7}),
        small_loop("windowed", quotas={"A": 7, "B": 7}, cycle=20),
        small_loop(quotas={"A": 3, "B": 3}, habit="grab"),
        small_loop(quotas={"A": 3, "B": 3}, habit="grab", lane=9, back=9, at=(0, 3, 5)),
    ],
)
def test_the_plain_program_comes_to_the_same_jam(layout: Layout) -> None:
    safety = prove_loops(layout)[0]
    jam = safety.jam
    assert jam is not None
    start = state_document(primed_state(layout)) if jam.scenario.start == "primed" else None
    ticks = whole_ticks(jam.scenario.span, Fraction(1))
    end = ReferenceEngine().run(layout, ticks, jam.scenario.outages, start)
    ours = simulate_layout(layout, jam.scenario, start=jam.start).end
    assert end == state_document(ours)
    assert is_stuck(layout, safety.ring, state_from_document(end))
    assert _stands(layout, safety)


def test_a_quota_more_and_the_proof_is_gone() -> None:
    safe = with_quotas(kits(), "counted", {"candle": 107, "seal": 107, "tap": 107})
    assert prove_loops(safe, runs=False)[0].outcome == "proved"
    over = with_quotas(kits(), "counted", {"candle": 107, "seal": 108, "tap": 107})
    verdict = prove_loops(over, runs=False)[0]
    assert verdict.outcome == "undecided"
    assert verdict.because == (
        "candle can be shut out: the quotas of all others 108 + 107 = 215 > 214 = 216 - 2",
        "tap can be shut out: the quotas of all others 107 + 108 = 215 > 214 = 216 - 2",
    )


def test_counting_what_is_on_the_loop_does_not_save_the_rate() -> None:
    """Quotas that cannot jam, and yet less than a tenth of the rate is left: no outage needed."""
    layout = with_quotas(kits(), "counted", {"candle": 107, "seal": 107, "tap": 107})
    recovery = prove_loops(layout)[1]
    assert recovery.outcome == "refuted"
    assert recovery.shortfall is not None
    assert recovery.shortfall.share < Fraction(1, 10)


def test_caps_unequal_in_cycles_starve_a_locked_ratio() -> None:
    layout = with_caps(kits(gate="ratio-locked"), {"candle": 20, "seal": 3, "tap": 1})
    safety, recovery = prove_loops(layout)[:2]
    assert safety.outcome == "undecided"
    assert recovery.outcome == "refuted"
    assert recovery.shortfall is not None
    assert recovery.shortfall.scenario.start == "empty"
    assert any("hoard" in because for because in recovery.because)


def _because(layout: Layout) -> str:
    found = find_safety(find_rings(layout)[0])
    assert isinstance(found, tuple)
    return " / ".join(obstacle.text for obstacle in found)


def test_every_obstacle_is_told() -> None:
    quotas = {"A": 3, "B": 3}
    assert "differ in speed" in _because(small_loop(quotas=quotas, back_speed=2))
    assert "in 2 at the last cell of lane" in _because(small_loop(quotas=quotas, at=(0, 3)))
    assert "habit grab: in 1 and 1 more" in _because(small_loop(quotas=quotas, habit="grab"))
    whole = _because(small_loop(quotas=quotas, takes="carriers", load=2))
    assert "hands too small for one (in 1 and 1 more)" in whole
    hands = _because(small_loop(quotas=quotas, takes="hands", load=2, hand=2))
    assert "pickers wait for a full hand" in hands
    tight = small_loop(quotas=quotas, takes="carriers", load=4, hand=4, caps={"A": 4, "B": 3})
    assert (
        "carriers are taken whole, and station 1 and 1 more holds 3 of B: with some left it may "
        "lack a cycle's 1 and yet have no room for 4"
    ) in _because(tight)
    short = small_loop("windowed", quotas=quotas, window=6)
    assert "counts over 6 steps, shorter than a turn of 7" in _because(short)
    assert "nothing limits B" in _because(small_loop(quotas={"A": 3}))
    low = with_caps(small_loop(quotas=quotas), {"A": 2, "B": 0})
    assert "station 1 holds 0 of B, a cycle takes 1" in _because(low)
    uneven = small_loop("ratio-locked", pattern="AAB")
    assert "not in the ratio of the recipe" in _because(uneven)
    some = small_loop(quotas=quotas)
    elsewhere = replace(some, gates=tuple(replace(gate, loop=("lane",)) for gate in some.gates))
    assert "does not count on all belts" in _because(elsewhere)


def test_what_stands_between_a_window_and_full_rate_is_told() -> None:
    for layout, word in (
        (small_loop("windowed", quotas={"A": 1, "B": 3}, cycle=12), "A: 0 units are sure"),
        (small_loop("windowed", quotas={"A": 3, "B": 3}, cycle=3), "a full station works 6 steps"),
        (small_loop("windowed", quotas={"A": 3, "B": 3}, window=9), "is not one turn of 7"),
    ):
        found = find_recovery(find_rings(layout)[0])
        assert isinstance(found, tuple)
        assert any(word in obstacle.text for obstacle in found), found


def test_loops_alike_are_told_once() -> None:
    text = verdicts_text(prove_loops(kits(), runs=False))
    assert text.count("cannot jam: PROVED") == 1
    assert "and 5 alike: row 2 lane" in text
    assert "tap: all others 107 + 80 = 187 <= 214 = 216 - 2" in text
    assert verdicts_text(()) == "There are no loops."


def test_percents_have_one_decimal() -> None:
    assert [percent(Fraction(n, d)) for n, d in ((1, 1), (1, 3), (999, 1000))] == [
        "100.0 %",
        "33.3 %",
        "99.9 %",
    ]
