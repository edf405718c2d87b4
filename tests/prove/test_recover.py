"""Recovery cards work when they are carried out."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.layout.layout import Layout
from loopwright.prove import prove_loops
from loopwright.prove.recover import Outcome, Recovered, recover_loops
from loopwright.prove.recover.card import BY_GATE, BY_HAND
from loopwright.prove.recover.edit import state_of_part, taken_out
from loopwright.prove.recover.standing import jam_together, standing_loops
from loopwright.prove.recover.text import card_steps, loops_title, recovered_text
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import simulate_layout
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Outage, Scenario
from tests.prove.loops import kits, small_loop
from tests.prove.rows import Row


def _recovered(layout: Layout, carriers: int | None = None) -> dict[str, Outcome]:
    verdict = prove_loops(layout)[0]
    assert verdict.jam is not None
    end = simulate_layout(layout, verdict.jam.scenario, start=verdict.jam.start).end
    (found,) = recover_loops(layout, (verdict.ring,), end, carriers)
    return {outcome.card.way: outcome for outcome in found.ways}


def test_the_example_block_with_open_gates_is_brought_back() -> None:
    """The gate drifts by itself, so another one is put in, for good."""
    outcomes = _recovered(kits(rate=Fraction(36, 20), row=36, gate="open"))
    assert list(outcomes) == [BY_GATE]
    outcome = outcomes[BY_GATE]
    assert outcome.works
    assert outcome.share >= Fraction(99, 100) * outcome.standard
    assert outcome.card.missing == ("candle", "seal")
    assert {one.material for one in outcome.card.purge} == {"tap"}
    assert len(outcome.card.purge) == 14


@pytest.mark.parametrize("carriers", [1, None])
@pytest.mark.parametrize(
    "row", [Row(12), Row(24, 3, Fraction(3, 4)), Row(16, 4, Fraction(4, 5), needs={"A": 1, "B": 1})]
)
def test_an_open_gate_in_the_ratio_of_the_recipe_is_brought_back_by_hand(
    row: Row, carriers: int | None
) -> None:
    """One carrier is enough. The law's time is of the fluid kind: half as long to half as long
    again is the tolerance, as looks are taken once a turn or two cycles."""
    outcomes = _recovered(row.layout(), carriers)
    for way in (BY_HAND, BY_GATE):
        outcome = outcomes[way]
        assert outcome.works, way
        assert outcome.share == outcome.standard == 1
        assert outcome.time is not None
        assert outcome.card.predicted / 2 <= outcome.time <= outcome.card.predicted * 3 / 2
    assert len(outcomes[BY_HAND].card.purge) == (carriers or -(-_cells(row) // 16))


def _cells(row: Row) -> int:
    return 2 * (row.stations * row.pitch + 1)


def test_holding_is_not_enough_without_a_purge() -> None:
    """In a jam no place is free, so nothing can come in, whatever is held."""
    layout = Row(12).layout()
    verdict = prove_loops(layout)[0]
    assert verdict.jam is not None
    end = simulate_layout(layout, verdict.jam.scenario).end
    hour = Scenario("on", "empty", Fraction(3600), Fraction(0), Fraction(3600))
    assert is_stuck(layout, verdict.ring, simulate_layout(layout, hour, start=end).end)


def test_no_way_by_hand_at_a_gate_that_waits_for_what_is_held() -> None:
    layout = Row(12).layout()
    verdict = prove_loops(layout)[0]
    assert verdict.jam is not None
    locked = replace(verdict.ring, rule="ratio-locked")
    end = simulate_layout(layout, verdict.jam.scenario).end
    (found,) = recover_loops(layout, (locked,), end)
    assert [one.card.way for one in found.ways] == [BY_GATE]


def test_takers_ahead_jam_again_whatever_is_done() -> None:
    layout = small_loop(quotas={"A": 3, "B": 3}, habit="grab", lane=9, back=9, at=(0, 3, 5))
    outcomes = _recovered(layout)
    assert outcomes
    assert not any(outcome.works for outcome in outcomes.values())
    assert "Empty the hands of 3 pickers" in " ".join(card_steps(outcomes[BY_GATE], ["loop"]))


def test_no_card_for_a_lane_that_ends_or_a_loop_of_unlike_belts() -> None:
    layout = small_loop(quotas={"A": 3, "B": 3}, back_speed=2)
    ring = prove_loops(layout, runs=False)[0].ring
    (found,) = recover_loops(layout, (ring,), primed_state(layout))
    assert not found.ways
    assert recovered_text((found,)).endswith("no card can be made for such a loop")


def test_the_card_is_read_step_by_step() -> None:
    outcomes = _recovered(Row(12).layout())
    text = recovered_text((Recovered(("lane",), tuple(outcomes.values())),))
    for word in (
        "1. See that A",
        "Hold B and C",
        "Take 5 carriers off the loop",
        "Let nothing but",
    ):
        assert word in text
    assert "Predicted: full rate after about" in text
    assert "Else by gate" in text


def test_the_state_of_a_part_is_the_whole_state_where_the_part_is_all() -> None:
    layout = kits(rate=Fraction(6, 20), row=6, gate="windowed")
    state = primed_state(layout)
    assert state_of_part(state, layout) == state
    assert taken_out(state, ()) == state


def test_all_loops_of_the_example_block_are_brought_back_in_one_run() -> None:
    """Two rows of twelve stand at once; one card tells both, and no hand has to be emptied."""
    layout = kits(rate=Fraction(24, 20), row=12, gate="open")
    rings, state = jam_together(layout, prove_loops(layout))
    assert state is not None
    assert [ring.name for ring in rings] == ["row 1 lane", "row 2 lane"]
    (found,) = recover_loops(layout, rings, state)
    assert found.loops == ("row 1 lane", "row 2 lane")
    assert found.works
    steps = card_steps(found.ways[0], found.loops)
    text = recovered_text((found,))
    assert "rows 1 and 2: recovery by gate" in text
    assert "In the run of all 2 loops" in text
    assert not any("hands" in step for step in steps)
    taken = len(found.ways[0].card.purge)
    assert any(f"Take {taken} carriers ({2 * taken} in all) off each loop" in s for s in steps)


def test_cards_of_many_loops_are_those_of_each_alone() -> None:
    """Rows with docks of their own do not feel each other, so nothing changes but the names."""
    both = kits(rate=Fraction(24, 20), row=12, gate="open")
    rings, state = jam_together(both, prove_loops(both))
    assert state is not None
    (together,) = recover_loops(both, rings, state)
    for ring in rings:
        (alone,) = recover_loops(both, (ring,), state)
        first, other = alone.ways[0], together.ways[0]
        assert (first.time, first.share, first.stages) == (other.time, other.share, other.stages)


@pytest.mark.parametrize("carriers", [1, None])
def test_several_materials_that_were_missing_at_once_are_let_in_together(
    carriers: int | None,
) -> None:
    """A and B stop together; both come in by turns until they are level with C."""
    layout = Row(16, 4, Fraction(4, 5)).layout()
    gone = tuple(
        Outage(f"supply {name} source", Fraction(100), Fraction(4000)) for name in ("A", "B")
    )
    scenario = Scenario("two away", "primed", Fraction(4200), Fraction(0), Fraction(4200), gone)
    end = simulate_layout(layout, scenario).end
    (ring,) = standing_loops(layout, end)
    (found,) = recover_loops(layout, (ring,), end, carriers)
    by_hand = next(one for one in found.ways if one.card.way == BY_HAND)
    assert by_hand.works
    assert by_hand.card.missing == ("A", "B")
    assert by_hand.card.hold == ("C",)
    assert {one.material for one in by_hand.card.purge} == {"C"}
    last = dict(by_hand.card.admissions[-1].carriers)
    assert set(last) == {"A", "B"}
    assert by_hand.time is not None
    assert by_hand.card.predicted / 2 <= by_hand.time <= by_hand.card.predicted * 3 / 2


def test_loops_are_told_by_their_rows() -> None:
    assert loops_title([f"row {number} lane" for number in range(1, 7)]) == "rows 1 to 6"
    assert loops_title(["row 1 lane", "row 2 lane", "row 4 lane"]) == "rows 1, 2 and 4"
    assert loops_title(["pack row 3 lane", "pack row 4 lane"]) == "pack rows 3 and 4"
    assert loops_title(["row 1 lane", "ring"]) == "row 1 lane and ring"
    assert loops_title(["row 7 lane"]) == "row 7 lane"
