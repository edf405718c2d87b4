"""Drained loops: what comes back has places in the pattern, and the rest goes to a drain."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.layout import layout_document
from loopwright.layout.layout import Layout, SideMerge
from loopwright.prove.certificate import (
    Certificate,
)
from loopwright.prove.checker import check_certificate
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.jam import measure_recovery
from loopwright.prove.miniature import BACK, Miniature
from loopwright.prove.prove import prove_loops
from loopwright.prove.rings import find_rings
from loopwright.prove.search import explore
from loopwright.record import digest
from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import Disturbances, Foreign
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Outage, Scenario
from tests.layout.test_drained import drained_kits
from tests.prove.altered import refused_when_altered
from tests.prove.loops import drained_loop, small_loop


def _because(layout: Layout) -> str:
    ring = find_rings(layout)[0]
    found = [*_obstacles(find_safety(ring)), *_obstacles(find_recovery(ring))]
    return " / ".join(found)


def _obstacles(found: object) -> list[str]:
    assert isinstance(found, tuple)
    return [obstacle.text for obstacle in found]


def _certificate(layout: Layout) -> Certificate:
    rings = find_rings(layout)
    claims = [find(ring) for ring in rings for find in (find_safety, find_recovery)]
    good = tuple(claim for claim in claims if isinstance(claim, Claim))
    return Certificate(digest(layout_document(layout)), {}, good)


def test_both_are_proved_and_the_checker_agrees() -> None:
    layout = drained_loop(cycle=12)
    certificate = _certificate(layout)
    assert [claim.theorem for claim in certificate.claims] == ["drain", "share"]
    assert certificate.claims[0].given == ("A1", "A2", "A3", "A5", "A10")
    document = layout_document(layout)
    assert check_certificate(certificate, document) == ()
    ring = find_rings(layout)[0]
    assert all(run.share == 1 for run in measure_recovery(layout, ring))


def test_the_example_with_drained_gates_is_proved_on_both_counts() -> None:
    layout = drained_kits()
    verdicts = prove_loops(layout)
    assert [verdict.outcome for verdict in verdicts] == ["proved", "proved"] * 2
    assert check_certificate(_certificate(layout), layout_document(layout)) == ()


@pytest.mark.parametrize("by", [1, -1])
def test_any_one_number_altered_is_refused(by: int) -> None:
    layout = drained_loop(cycle=12)
    assert refused_when_altered(layout, _certificate(layout), by) >= 40


@pytest.mark.parametrize(
    "other",
    [
        lambda: drained_loop(cycle=2),
        lambda: drained_loop(cycle=12, rule="alternate"),
        lambda: drained_loop(pattern="AB", cycle=12),
        lambda: _with_merge_on_the_way_out(drained_loop(cycle=12)),
        lambda: _slower_way_out(drained_loop(cycle=12)),
        lambda: small_loop("ratio-locked", pattern="AB", cycle=12),
    ],
)
def test_a_proof_of_one_layout_is_none_of_another(other: object) -> None:
    assert callable(other)
    layout = other()
    document = layout_document(layout)
    for claim in _certificate(drained_loop(cycle=12)).claims:
        forged = Certificate(digest(document), {}, (claim,))
        ours = find_safety if claim.theorem == "drain" else find_recovery
        found = ours(find_rings(layout)[0])
        if not (isinstance(found, Claim) and found == claim):
            assert check_certificate(forged, document) != ()


def _with_merge_on_the_way_out(layout: Layout) -> Layout:
    belt = replace(layout.belts[0], name="extra")
    side = SideMerge("extra end", "extra", "waste", 0)
    return replace(layout, belts=(*layout.belts, belt), side_merges=(side,))


def _slower_way_out(layout: Layout) -> Layout:
    belts = tuple(
        replace(belt, speed=Fraction(1, 2)) if belt.name == "waste" else belt
        for belt in layout.belts
    )
    return replace(layout, belts=belts)


def test_every_obstacle_is_told() -> None:
    assert "overflow leads away to waste" in _because(drained_loop(rule="alternate"))
    assert "overflow leads away to waste" in _because(_slower_way_out(drained_loop()))
    merged = _because(_with_merge_on_the_way_out(drained_loop()))
    assert "overflow leads away to waste" in merged
    assert "what comes back goes first" in _because(drained_loop(pattern="AB"))
    ring = find_rings(drained_loop(cycle=5))[0]
    assert isinstance(find_safety(ring), Claim)
    slow = " / ".join(_obstacles(find_recovery(ring)))
    assert "A: 1 units are sure in a pattern of 3 places, all stations use 6/5" in slow
    brief = find_recovery(find_rings(drained_loop(pattern="AABB--", cycle=5, load=8))[0])
    assert isinstance(brief, Claim)
    tight = drained_loop(pattern="AAAABBBB----", cycle=5, load=8, caps={"A": 2, "B": 2})
    assert "a full station works 10 steps, a pattern has 12" in _because_of_rate(tight)


def _because_of_rate(layout: Layout) -> str:
    return " / ".join(_obstacles(find_recovery(find_rings(layout)[0])))


def test_a_picker_behind_the_way_out_sees_too_little() -> None:
    layout = drained_loop()
    pickers = tuple(
        replace(picker, source=replace(picker.source, device="stub", index=0))
        if picker.name == "in 1"
        else picker
        for picker in layout.pickers
    )
    assert isinstance(find_safety(find_rings(replace(layout, pickers=pickers))[0]), tuple)


def _any_loop(chance: random.Random) -> Layout:
    needs = {"A": chance.randint(1, 3), "B": chance.randint(1, 3)}
    load = chance.randint(1, 3)
    whole = chance.random() < 0.3
    letters = [*("A" * chance.randint(1, 3)), *("B" * chance.randint(1, 3))]
    letters += "-" * chance.randint(1, 4)
    chance.shuffle(letters)
    lane = chance.randint(4, 9)
    return drained_loop(
        "".join(letters),
        lane=lane,
        back=chance.randint(1, 6),
        needs=needs,
        caps={m: n + chance.randint(0, 4) for m, n in needs.items()},
        load=load,
        at=sorted(chance.sample(range(lane - 1), 2)),
        cycle=chance.randint(1, 20),
        takes="carriers" if whole else "units",
        hand=load if whole else 1,
    )


@pytest.mark.parametrize("seed", range(8))
def test_the_search_confirms_what_is_proved_from_any_start(seed: int) -> None:
    """All that can happen to small loops with late picks: from empty, and from loops that are full
    of one input, or of something that nobody takes."""
    _search(random.Random(seed), 2, 1)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(24))
def test_the_search_confirms_it_for_larger_ones(seed: int) -> None:
    chance = random.Random(seed)
    _search(chance, 3, chance.randint(1, 2))


def _search(chance: random.Random, lane: int, back: int) -> None:
    needs = (chance.randint(1, 2), chance.randint(1, 2))
    caps = tuple(need + chance.randint(0, 2) for need in needs)
    letters = [*"AB", *("-" * chance.randint(1, 2)), *chance.choice(("", "A", "B"))]
    chance.shuffle(letters)
    load = chance.randint(1, 2)
    layout = drained_loop(
        "".join(letters),
        lane=lane,
        back=back,
        needs=dict(zip("AB", needs, strict=True)),
        caps=dict(zip("AB", caps, strict=True)),
        load=load,
        at=(lane - 2,),
    )
    assert isinstance(find_safety(find_rings(layout)[0]), Claim)
    small = Miniature(
        lane + back + 1,
        (lane - 2,),
        (*needs, 0),
        (*caps, 0),
        "drained",
        pattern=tuple({"A": 0, "B": 1, "-": BACK}[letter] for letter in letters),
        seam=lane,
        load=load,
        late=True,
    )
    for material in (None, 0, 1, 2):
        cells = (None if material is None else (material, load),) * small.cells
        found = explore(replace(small.start(), cells=cells), small.moves)
        assert not found.jams


def test_the_search_finds_a_drained_loop_that_starves() -> None:
    """Without a place for B nothing is ever made: the search can tell."""
    small = Miniature(5, (1,), (1, 1), (1, 1), "drained", pattern=(0, BACK), seam=3)
    assert explore(small.start(), small.moves).jams


def test_no_proof_is_contradicted_by_outages_wrong_mixes_and_foreign_carriers() -> None:
    """Neither the start nor what hands do is taken for granted."""
    proved = 0
    for seed in range(120):
        chance = random.Random(seed)
        layout = _any_loop(chance)
        if not isinstance(find_safety(find_rings(layout)[0]), Claim):
            continue
        proved += 1
        state = primed_state(layout)
        filled = chance.choice("ABX")
        belts = {
            belt: tuple((filled, 1) for _ in cells) if belt in ("lane", "return", "stub") else cells
            for belt, cells in state.belts.items()
        }
        foreign = tuple(
            Foreign("return", 0, "X", 1, Fraction(chance.randint(1, 400))) for _ in range(5)
        )
        outages = tuple(
            Outage(dock.name, Fraction(chance.randint(0, 400)), Fraction(chance.randint(1, 500)))
            for dock in layout.sources
        )
        span = Fraction(2000)
        rough = Scenario(
            "press", "primed", span, Fraction(0), span, outages,
            disturbances=Disturbances(foreign=foreign),
        )  # fmt: skip
        end = simulate_layout(layout, rough, start=replace(state, belts=belts)).end
        later = simulate_layout(
            layout, Scenario("on", "empty", span, Fraction(0), span), start=end
        ).end
        made = [
            later.counters.stations[name].ended - end.counters.stations[name].ended
            for name in ("station 1", "station 2")
        ]
        assert any(made), f"seed {seed} jams in spite of its proof"
    assert proved > 60
