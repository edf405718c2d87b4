"""Sorted loops: sidings that are never full, what is proved of them, and what is not."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.layout import layout_document
from loopwright.layout.layout import Layout, SideMerge
from loopwright.layout.siding import least_siding
from loopwright.prove.certificate import (
    Certificate,
)
from loopwright.prove.checker import check_certificate
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.jam import measure_recovery
from loopwright.prove.law.laws import laws_of
from loopwright.prove.law.siding import load_on, passing_least, passing_peak, under_way
from loopwright.prove.miniature import search_miniature
from loopwright.prove.prove import prove_loops
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.prove.sidings import least_cells
from loopwright.prove.sorted_miniature import SortedMiniature
from loopwright.prove.stuck import is_stuck
from loopwright.record import digest
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from tests.layout.design import placed
from tests.layout.sorted_rows import sorted_kits, sorted_project
from tests.prove.altered import refused_when_altered
from tests.prove.loops import small_loop, sorted_loop

FAR = {"lane": 8, "at": (5, 6), "cycle": 6}
"""Stations far from the gate, which do not take at once what enters."""


def _ring(layout: Layout) -> Ring:
    rings = find_rings(layout)
    assert [ring.kind for ring in rings] == ["sorted loop"]
    return rings[0]


def _certificate(layout: Layout) -> Certificate:
    claims = [find(ring) for ring in find_rings(layout) for find in (find_safety, find_recovery)]
    good = tuple(claim for claim in claims if isinstance(claim, Claim))
    return Certificate(digest(layout_document(layout)), {}, good)


def _because(layout: Layout, find: Callable[[Ring], object] = find_safety) -> str:
    found = find(find_rings(layout)[0])
    assert isinstance(found, tuple)
    return " / ".join(obstacle.text for obstacle in found)


def test_both_are_proved_and_the_checker_agrees() -> None:
    layout = sorted_loop(cycle=6)
    certificate = _certificate(layout)
    assert [claim.theorem for claim in certificate.claims] == ["siding", "refill"]
    assert certificate.claims[0].given == ("A11", "A1", "A2", "A3", "A4", "A5")
    assert check_certificate(certificate, layout_document(layout)) == ()
    assert all(run.share == 1 for run in measure_recovery(layout, _ring(layout)))


def test_the_example_with_sorted_returns_cannot_jam() -> None:
    """Its carriers come back part-used, so full rate is measured only."""
    layout = sorted_kits()
    verdicts = prove_loops(layout)
    assert [verdict.outcome for verdict in verdicts] == ["proved", "undecided"] * 2
    assert all(run.share > Fraction(99, 100) for run in verdicts[1].runs)
    assert "part-used" in verdicts[1].because[0]
    assert check_certificate(_certificate(layout), layout_document(layout)) == ()
    topics = [(law.topic, law.subject) for law in laws_of(layout, verdicts[0].ring)]
    assert topics[0] == ("load", "")
    assert topics[1:3] == [("least siding", "candle"), ("on siding at work", "candle")]


@pytest.mark.parametrize("inputs", [{"a": 1, "b": 1}, {"a": 7, "b": 1, "c": 1}])
@pytest.mark.parametrize("supply", ["docks", "trunks"])
def test_the_checker_agrees_on_placed_rows(inputs: dict[str, int], supply: str) -> None:
    layout = placed(sorted_project(inputs, rows=4, supply=supply))
    certificate = _certificate(layout)
    assert [claim.theorem for claim in certificate.claims].count("siding") == 4
    assert check_certificate(certificate, layout_document(layout)) == ()


@pytest.mark.parametrize("by", [1, -1])
@pytest.mark.parametrize("kinds", [2, 3])
def test_any_one_number_altered_is_refused(by: int, kinds: int) -> None:
    layout = sorted_loop("ABC"[:kinds], needs=dict.fromkeys("ABC"[:kinds], 1), siding=12, cycle=9)
    assert refused_when_altered(layout, _certificate(layout), by) >= 60


def _shorter(layout: Layout) -> Layout:
    """Siding A two cells shorter."""
    return _with_belt(layout, "siding A", lambda belt: replace(belt, path=belt.path[2:]))


def _with_belt(layout: Layout, name: str, change: Callable) -> Layout:
    belts = tuple(change(belt) if belt.name == name else belt for belt in layout.belts)
    return replace(layout, belts=belts)


def _slow_siding(layout: Layout) -> Layout:
    return _with_belt(layout, "siding B", lambda belt: replace(belt, speed=Fraction(1, 2)))


def _side_merge(main: str) -> Callable[[Layout], Layout]:
    def change(layout: Layout) -> Layout:
        extra = replace(layout.belts[0], name="extra")
        side = SideMerge("extra end", "extra", main, 0)
        return replace(layout, belts=(*layout.belts, extra), side_merges=(side,))

    return change


def _taken_from(belt: str) -> Callable[[Layout], Layout]:
    def change(layout: Layout) -> Layout:
        extra = replace(
            next(one for one in layout.pickers if one.name == "in 1"),
            name="extra",
            source=replace(layout.pickers[0].source, device=belt, index=0),
        )
        return replace(layout, pickers=(*layout.pickers, extra))

    return change


def _swapped(layout: Layout) -> Layout:
    divert = layout.diverts[0]
    ways = tuple((name, divert.outlets[1]) for name, _ in divert.filters)
    turned = replace(divert, filters=ways, outlets=divert.outlets[::-1])
    return replace(layout, diverts=(turned,))


ALTERED = {
    "shorter": _shorter,
    "slow": _slow_siding,
    "side merge on the lane": _side_merge("lane"),
    "side merge on a siding": _side_merge("siding A"),
    "side merge on a feed": _side_merge("feed B"),
    "picker at a siding": _taken_from("siding A"),
    "picker at a feed": _taken_from("feed A"),
    "sorted to the other": _swapped,
    "by turns": lambda layout: sorted_loop(cycle=6, join="alternate"),
    "fresh first": lambda layout: sorted_loop(cycle=6, fresh_first=True),
    "open": lambda layout: sorted_loop(cycle=6, rule="open"),
    "another pattern": lambda layout: sorted_loop("ABB", cycle=6),
    "another loop": lambda layout: small_loop("ratio-locked", pattern="AB"),
}


@pytest.mark.parametrize("change", ALTERED.values(), ids=ALTERED)
def test_what_is_proved_of_one_layout_is_not_of_another(
    change: Callable[[Layout], Layout],
) -> None:
    """The checker refuses the claims, and the finder makes none like them."""
    layout = sorted_loop(siding=9, cycle=6)
    other = change(layout)
    document = layout_document(other)
    mine = [find(find_rings(other)[0]) for find in (find_safety, find_recovery)]
    for claim in _certificate(layout).claims:
        assert claim not in mine
        assert check_certificate(Certificate(digest(document), {}, (claim,)), document) != ()


def test_every_obstacle_is_told() -> None:
    assert "siding A may be full: 6 + 7 = 13 places" in _because(sorted_loop(siding=7))
    ring = _ring(sorted_loop(siding=7))
    assert ring.sorting is not None
    assert [least_cells(ring, siding) for siding in ring.sorting.sidings] == [8, 8]
    assert "passes by an input that is not there" in _because(sorted_loop(rule="open"))
    assert "passes by an input that is not there" in _because(sorted_loop(rule="alternate"))
    assert "does not wait for siding A" in _because(sorted_loop(fresh_first=True))
    assert "takes from siding A" in _because(_taken_from("siding A")(sorted_loop()))
    assert "siding A before the feed of A takes" in _because(_swapped(sorted_loop()))
    assert "B has no place in the pattern" in _because(sorted_loop("A", siding=30))
    slow = _because(sorted_loop(cycle=3), find_recovery)
    assert "A: 1 units are sure in a pattern of 2 places, all stations use 4/3" in slow
    tight = sorted_loop("AAABBB", cycle=5, siding=14, caps={"A": 1, "B": 1})
    told = "{}: a full station works 5 steps, a pattern has 6"
    assert _because(tight, find_recovery) == " / ".join(map(told.format, "AB"))
    stacked = _because(sorted_loop(load=2, cycle=3), find_recovery)
    assert "A: what comes back is part-used, so 1 units are sure" in stacked
    whole = sorted_loop(load=2, cycle=3, takes="carriers", hand=2, caps={"A": 3, "B": 3})
    assert isinstance(find_recovery(_ring(whole)), Claim)


def test_the_search_says_that_no_length_will_do_for_a_gate_that_passes_by() -> None:
    """While A stays away B fills row, siding and feed: an open gate jams whatever the length."""
    for siding in (2, 3, 4):
        small = SortedMiniature(3, (1,), (1, 1), (1, 1), "open", sidings=(siding, siding))
        assert search_miniature(small).jams
        waiting = replace(small, rule="ratio-locked", pattern=(0, 1))
        assert not search_miniature(waiting).jams


def test_the_search_finds_short_sidings_that_jam() -> None:
    """With late picks, a gate that waits, and the ratio of the recipe."""
    small = SortedMiniature(
        2, (0,), (1, 2), (1, 3), "ratio-locked", pattern=(1, 1, 0), sidings=(1, 1), late=True
    )
    assert search_miniature(small).steps == 5
    enough = tuple(least_siding((1, 1, 0), kind, 2) for kind in (0, 1))
    assert enough == (3, 7)


def _search(chance: random.Random, lane: int) -> None:
    """Everything that can happen to a small loop with late picks, its sidings as the proof asks."""
    pattern = [0, 1, *(chance.randint(0, 1) for _ in range(chance.randint(0, 1)))]
    chance.shuffle(pattern)
    needs = (chance.randint(1, 2), chance.randint(1, 2))
    caps = tuple(need + chance.randint(0, 1) for need in needs)
    load, at = chance.randint(1, 2), chance.randint(0, lane - 1)
    sidings = tuple(least_siding(pattern, kind, lane) for kind in (0, 1))
    layout = sorted_loop(
        "".join("AB"[kind] for kind in pattern),
        lane=lane,
        siding=dict(zip("AB", sidings, strict=True)),
        needs=dict(zip("AB", needs, strict=True)),
        caps=dict(zip("AB", caps, strict=True)),
        load=load,
        at=(at,),
    )
    assert isinstance(find_safety(_ring(layout)), Claim)
    small = SortedMiniature(
        lane, (at,), needs, caps, "ratio-locked",
        pattern=tuple(pattern), sidings=sidings, load=load, late=True,
    )  # fmt: skip
    assert not search_miniature(small).jams


@pytest.mark.parametrize("seed", [1, 2])
def test_the_search_confirms_what_is_proved(seed: int) -> None:
    _search(random.Random(seed), 1)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3, 9))
def test_the_search_confirms_it_for_more(seed: int) -> None:
    _search(random.Random(seed), 1)


@pytest.mark.slow
def test_the_search_confirms_it_for_a_longer_lane() -> None:
    small = SortedMiniature(
        2, (0,), (1, 1), (2, 2), "ratio-locked", pattern=(0, 1), sidings=(4, 4), late=True
    )
    assert not search_miniature(small).jams


def test_an_open_gate_is_refuted_by_a_run_that_ends_in_a_jam() -> None:
    for siding in (12, 40):
        layout = sorted_loop(siding=siding, rule="open", **FAR)
        verdicts = prove_loops(layout)
        assert [verdict.outcome for verdict in verdicts] == ["refuted", "refuted"]
        jam = verdicts[0].jam
        assert jam is not None
        end = simulate_layout(layout, jam.scenario, start=jam.start).end
        assert is_stuck(layout, verdicts[0].ring, end)
        later = simulate_layout(
            layout, Scenario("on", "empty", Fraction(3000), Fraction(0), Fraction(3000)), start=end
        ).end
        made = later.counters.stations["station 1"].ended
        assert made == end.counters.stations["station 1"].ended


def test_a_short_siding_jams_in_a_run_and_a_longer_one_does_not() -> None:
    """Three inputs, an open gate, one of them out: d (1/2 - 1/3) / (1 - 1/2) cells to start again
    with a first station d = 18 cells from the gate."""
    for siding, outcome in ((4, "refuted"), (6, "refuted"), (8, "undecided")):
        layout = sorted_loop(
            needs=dict.fromkeys("ABC", 1), siding=siding, rule="open", lane=24, at=(18, 21), cycle=8
        )
        assert prove_loops(layout)[0].outcome == outcome


def _held(layout: Layout, belt: str, outages: tuple[Outage, ...] = ()) -> int:
    """The most carriers on `belt` in the last part of a run of 3000 s."""
    first = Scenario("a", "primed", Fraction(2400), Fraction(0), Fraction(2400), outages)
    state, most = simulate_layout(layout, first).end, 0
    for _ in range(120):
        piece = Scenario("b", "primed", Fraction(5), Fraction(0), Fraction(5), outages)
        state = simulate_layout(layout, piece, start=state).end
        most = max(most, sum(cell is not None for cell in state.belts[belt]))
    return most


@pytest.mark.parametrize("load", [Fraction(1, 2), Fraction(4, 5)])
def test_the_laws_of_sidings_agree_with_runs(load: Fraction) -> None:
    row = {"lane": 72, "feed": 2, "at": [6 * place + 5 for place in range(12)]}
    waits = sorted_loop(siding=74, cycle=24 / load, **row)
    ring = _ring(waits)
    assert load_on(ring) == load
    assert abs(_held(waits, "siding A") - under_way(74, Fraction(1, 2), load)) <= 2
    needs = dict.fromkeys("ABC", 1)
    passes = sorted_loop(needs=needs, siding=100, cycle=36 / load, rule="open", **row)
    out = Outage("supply A source", Fraction(400), Fraction(2000))
    law = passing_peak(72, 100, Fraction(1, 3), Fraction(1, 2))
    assert abs(_held(passes, "siding B", (out,)) - law) <= 2


def test_the_least_siding_of_an_open_gate() -> None:
    assert passing_least(18, Fraction(1, 3), Fraction(1, 2)) == 6
    assert passing_least(18, Fraction(1, 2), Fraction(1)) is None


def _any_loop(chance: random.Random) -> Layout:
    kinds = chance.choice(("AB", "ABC"))
    letters = [*kinds, *(chance.choice(kinds) for _ in range(chance.randint(0, 3)))]
    chance.shuffle(letters)
    lane, turn = chance.randint(4, 9), chance.choice((0, 0, 2))
    numbers = [kinds.index(letter) for letter in letters]
    sidings = {
        kind: least_siding(numbers, place, lane + turn + min(place, len(kinds) - 2))
        + chance.choice((0, 0, 3))
        for place, kind in enumerate(kinds)
    }
    needs = {kind: chance.randint(1, 3) for kind in kinds}
    load, whole = chance.randint(1, 3), chance.random() < 0.3
    return sorted_loop(
        "".join(letters),
        lane=lane,
        turn=turn,
        siding=sidings,
        feed=chance.randint(1, 5),
        needs=needs,
        caps={kind: count + chance.randint(0, 4) for kind, count in needs.items()},
        load=load,
        at=sorted(chance.sample(range(lane - 1), 2)),
        cycle=chance.randint(1, 20),
        takes="carriers" if whole else "units",
        hand=load if whole else 1,
    )


@pytest.mark.parametrize("seeds", [range(14), pytest.param(range(14, 80), marks=pytest.mark.slow)])
def test_no_proof_is_contradicted_by_outages(seeds: range) -> None:
    """No siding is ever full, and stations go on working, in runs with outages of all docks."""
    proved = 0
    for seed in seeds:
        chance = random.Random(seed)
        layout = _any_loop(chance)
        if isinstance(find_safety(_ring(layout)), Claim):
            proved += 1
            _press(layout, chance)
    assert proved > len(seeds) // 2


def _press(layout: Layout, chance: random.Random) -> None:
    assert check_certificate(_certificate(layout), layout_document(layout)) == ()
    sorting = _ring(layout).sorting
    assert sorting is not None
    outages = tuple(
        Outage(dock.name, Fraction(chance.randint(0, 300)), Fraction(chance.randint(1, 300)))
        for dock in layout.sources
        for _ in range(2)
    )
    begin, state = chance.choice(("empty", "primed")), None
    for span in (1,) * 10 + (13,) * 30:
        piece = Scenario("a", begin, Fraction(span), Fraction(0), Fraction(span), outages)
        state = simulate_layout(layout, piece, start=state).end
        for siding in sorting.sidings:
            assert None in state.belts[siding.belt], f"{siding.belt} is full"
    assert state is not None
    rest = Scenario("b", begin, Fraction(2000), Fraction(0), Fraction(2000), outages)
    end = simulate_layout(layout, rest, start=state).end
    made = [count.ended - state.counters.stations[name].ended
            for name, count in end.counters.stations.items()]  # fmt: skip
    assert any(made), "it jams in spite of its proof"
