"""The laws agree with the engine, at loads, lengths, caps and ratios of our own choice.

The laws take the row as a flow: a station works or it does not. In a run one station may work part
of the time, and what it makes comes on top: so measured shares lie between the law and the law plus
one station's share, 1 / N, which is the tolerance.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.prove import prove_loops
from loopwright.prove.law import Law, laws_of
from loopwright.prove.law.drift import drift, in_ratio
from loopwright.prove.law.mix import share_of_mix, share_without, surplus, units_in
from loopwright.prove.law.outage import (
    jam_span,
    jam_span_part_used,
    safe_span,
    share_after,
)
from loopwright.prove.law.text import law_rows
from loopwright.prove.stuck import is_stuck
from loopwright.simulate.clock import layout_tick
from tests.prove.loops import kits, small_loop
from tests.prove.rows import SUPPLY, Row, Watched

ROWS = (
    Row(12),
    Row(18, 2, Fraction(3, 4)),
    Row(24, 3, Fraction(17, 20), caps={"A": 3, "B": 3, "C": 3}),
    Row(16, 4, Fraction(4, 5), needs={"A": 1, "B": 1}),
    Row(20, 2, Fraction(7, 10), back=90),
    Row(30, 3, Fraction(3, 5), needs={"A": 1, "B": 1, "C": 1, "D": 1}),
    Row(40, 2, Fraction(19, 20)),
    Row(15, 3, Fraction(1, 2), needs={"A": 2, "B": 2}, caps={"A": 6, "B": 6}),
)
LOCKED = (
    Row(24, 3, rule="ratio-locked", caps={"A": 4, "B": 4, "C": 1}),
    Row(24, 3, rule="ratio-locked", caps={"A": 4, "B": 4, "C": 4}),
    Row(20, 4, Fraction(17, 20), "ratio-locked", {"A": 2, "B": 1, "C": 3}, dict.fromkeys("ABC", 6)),
    Row(24, 3, rule="ratio-locked", caps={"A": 6, "B": 2, "C": 2}),
    Row(36, 2, Fraction(4, 5), "ratio-locked", caps={"A": 5, "B": 3, "C": 1}),
    Row(30, 3, Fraction(7, 10), "ratio-locked", {"A": 1, "B": 3}, {"A": 9, "B": 3}),
    Row(24, 3, rule="open", caps={"A": 4, "B": 4, "C": 1}),
    Row(28, 3, Fraction(9, 10), "ratio-locked", {"A": 2, "B": 3, "C": 1}, {"A": 4, "B": 9, "C": 2}),
    Row(
        28, 3, Fraction(9, 10), "ratio-locked", {"A": 2, "B": 3, "C": 1}, {"A": 20, "B": 3, "C": 1}
    ),
)
STACKED = (
    Row(24, 3, Fraction(17, 20), "open", dict.fromkeys("ABC", 3), dict.fromkeys("ABC", 6), stack=4),
    Row(16, 4, Fraction(4, 5), "open", dict.fromkeys("AB", 2), dict.fromkeys("AB", 4), stack=2),
    Row(30, 3, Fraction(9, 10), "open", dict.fromkeys("ABC", 1), dict.fromkeys("ABC", 3), stack=4),
    Row(20, 2, Fraction(7, 10), "open", dict.fromkeys("ABC", 2), dict.fromkeys("ABC", 6), 90, 2),
    Row(24, 3, Fraction(3, 5), "open", dict.fromkeys("ABCD", 4), dict.fromkeys("ABCD", 8), stack=8),
)
SLOWER = Fraction(6, 5)
"""Measured time to jam over the law's, at most: the last of a material is used up unevenly."""


def _outages_agree(row: Row) -> None:
    watched = Watched(row)
    terms, station = watched.terms, Fraction(1, row.stations)
    safe, jam = safe_span(terms, "A", SUPPLY), jam_span(terms, "A", SUPPLY)
    for part in (Fraction(1, 4), Fraction(1, 2), Fraction(3, 4)):
        span = Fraction(round(safe + (jam - safe) * part))
        state = watched.after(span)
        units = units_in(watched.ring, state)
        law, measured = share_without(terms, "A", surplus(terms, units, "A")), watched.share(state)
        assert law == share_of_mix(terms, units)
        assert law <= measured <= law + station
        from_span = share_after(terms, "A", SUPPLY, span)
        assert from_span <= measured <= from_span + station + Fraction(1, 25)
    assert watched.share(watched.after(safe)) == 1
    assert not jams(watched, jam)
    assert jams(watched, jam * SLOWER)


def jams(watched: Watched, span: Fraction) -> bool:
    """Whether the loop stands for good after an outage of `span` [s]."""
    settled = watched.run(40 * watched.row.cycle, watched.after(span))
    return is_stuck(watched.layout, watched.ring, settled)


@pytest.mark.parametrize("row", ROWS[:3])
def test_what_an_outage_costs_is_what_the_laws_say(row: Row) -> None:
    _outages_agree(row)


@pytest.mark.slow
@pytest.mark.parametrize("row", ROWS[3:])
def test_what_an_outage_costs_is_what_the_laws_say_elsewhere(row: Row) -> None:
    _outages_agree(row)


def _caps_agree(row: Row) -> None:
    watched = Watched(row)
    state = watched.run(120 * row.cycle, begin="empty")
    law, measured = share_of_mix(watched.terms), watched.share(state)
    assert law <= measured <= law + Fraction(1, row.stations)


@pytest.mark.parametrize("row", LOCKED[:3])
def test_caps_unequal_in_cycles_cost_what_the_law_says(row: Row) -> None:
    _caps_agree(row)


@pytest.mark.slow
@pytest.mark.parametrize("row", LOCKED[3:])
def test_caps_unequal_in_cycles_cost_what_the_law_says_elsewhere(row: Row) -> None:
    _caps_agree(row)


def test_outages_of_one_material_add_up() -> None:
    watched = Watched(Row(12))
    once = watched.after(Fraction(40))
    tick = layout_tick(watched.layout)
    second = replace(watched.outage(Fraction(40)), start=once.tick * tick)
    again = watched.run(Fraction(440), once, gone=second)
    extra = [surplus(watched.terms, units_in(watched.ring, one), "A") for one in (once, again)]
    assert extra[1] >= 2 * extra[0] - 3
    assert watched.share(again) < watched.share(once)


def test_a_jam_holds_exactly_as_much_of_the_others_as_fits() -> None:
    watched = Watched(Row(12))
    terms = watched.terms
    state = watched.after(jam_span(terms, "A", SUPPLY) * SLOWER)
    extra = surplus(terms, units_in(watched.ring, state), "A")
    assert extra == terms.places + terms.held(without="A")
    assert share_without(terms, "A", extra) == 0


@pytest.mark.parametrize("row", STACKED)
def test_part_used_carriers_jam_about_when_the_law_says(row: Row) -> None:
    """Not before it in these rows, and after seven tenths more at the latest."""
    watched = Watched(row)
    span = jam_span_part_used(watched.terms, "A", SUPPLY, row.stack)
    assert not jams(watched, span)
    assert jams(watched, span * Fraction(7, 4))


def test_an_open_gate_drifts_where_carriers_are_not_used_in_equal_numbers() -> None:
    layout = kits(rate=Fraction(36, 20), row=36, gate="open")
    verdicts = prove_loops(layout, runs=False)
    watched = laws_of(layout, verdicts[0].ring)
    told = {law.subject: law.value for law in watched if law.topic == "drift"}
    assert told == {"seal": Fraction(9, 20), "tap": Fraction(27, 20)}
    terms = Watched(Row(12)).terms
    assert in_ratio(terms)
    assert set(drift(terms).values()) == {0}


def _by_topic(laws: tuple[Law, ...], topic: str) -> list[Law]:
    return [law for law in laws if law.topic == topic]


def test_laws_stand_beside_what_was_measured() -> None:
    layout = Row(12).layout()
    verdicts = prove_loops(layout)
    laws = laws_of(layout, verdicts[0].ring, verdicts)
    jams = _by_topic(laws, "time to jam")
    assert [law.subject for law in jams] == ["A", "B", "C"]
    assert jams[0].value is not None
    assert jams[0].measured is not None
    assert jams[0].value <= jams[0].measured <= jams[0].value * SLOWER
    assert all(law.value is not None for law in _by_topic(laws, "safe outage"))
    assert len(law_rows(laws)) == len(laws)


def test_gates_that_keep_the_mix_stand_any_outage() -> None:
    layout = kits(rate=Fraction(6, 20), row=6, gate="windowed")
    verdicts = prove_loops(layout, runs=False)
    laws = laws_of(layout, verdicts[0].ring, verdicts)
    assert [law.value for law in _by_topic(laws, "safe outage")] == [None, None, None]
    assert all((law.value or 0) >= 1 for law in _by_topic(laws, "offer over use"))


def test_where_there_is_no_law_the_measured_rate_stands_alone() -> None:
    layout = kits(rate=Fraction(6, 20), row=6, gate="scarcest-first")
    verdicts = prove_loops(layout)
    laws = laws_of(layout, verdicts[0].ring, verdicts)
    assert not _by_topic(laws, "safe outage")
    assert [(law.value, law.measured) for law in _by_topic(laws, "rate after")] == [(None, 1)] * 3


def test_the_laws_say_nothing_of_what_they_do_not_know() -> None:
    layout = small_loop(quotas={"A": 3, "B": 3}, back_speed=2)
    assert laws_of(layout, prove_loops(layout, runs=False)[0].ring) == ()
