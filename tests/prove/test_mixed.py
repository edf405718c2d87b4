"""Loops behind mixers: drained they are proved, open they jam after an outage."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from loopwright.block.mixer import design_mixer
from loopwright.layout import layout_document
from loopwright.layout.layout import Belt, Layout, Source
from loopwright.layout.mixing.bench import PRODUCT, PRODUCT_BELT, mixer_layout
from loopwright.prove import prove_loops
from loopwright.prove.certificate import (
    Certificate,
)
from loopwright.prove.checker import check_certificate
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.jam import measure_recovery
from loopwright.prove.mixed import supply_of
from loopwright.prove.rings import find_rings
from loopwright.record import digest
from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import Disturbances, Foreign
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.wiring import Wiring
from tests.layout.test_mixing import mixed_layout
from tests.layouts.ratios import Ratio, named
from tests.prove.altered import refused_when_altered

PLACED = ["2:1:3", "3:2", "7:5:1", "13:9"]


def _certificate(layout: Layout) -> Certificate:
    claims = [find(ring) for ring in find_rings(layout) for find in (find_safety, find_recovery)]
    good = tuple(claim for claim in claims if isinstance(claim, Claim))
    return Certificate(digest(layout_document(layout)), {}, good)


def _theorems(layout: Layout) -> list[str]:
    return [claim.theorem for claim in _certificate(layout).claims]


@pytest.mark.parametrize("ratio", PLACED)
@pytest.mark.parametrize("supply", ["docks", "trunks"])
def test_drained_loops_behind_mixers_are_proved_and_the_checker_agrees(
    ratio: str, supply: str
) -> None:
    layout = mixed_layout(ratio, architecture="loop", supply=supply)
    certificate = _certificate(layout)
    assert "drain" in [claim.theorem for claim in certificate.claims]
    assert check_certificate(certificate, layout_document(layout)) == ()
    assert len(find_rings(layout)) == len(layout.gates), "what is fed back is no loop"


def test_both_are_proved_of_long_rows_with_feedback() -> None:
    layout = mixed_layout("3:2", architecture="loop", row="auto")
    assert _theorems(layout) == ["drain", "share"]
    (text,) = (c for c in _certificate(layout).claims if c.theorem == "share")
    told = [reason.text for reason in text.reasons if reason.topic in ("mix", "rate")]
    assert told[0] == "row 1 supply comes by turns: of 6 carriers candle 3, seal 2, 1 fed back " + (
        "over 22 cells"
    )
    assert told[1].startswith("row 1 supply: 5/6 of a belt comes out >= ")
    assert all(run.share == 1 for run in measure_recovery(layout, find_rings(layout)[0]))


def test_of_short_rows_with_feedback_full_rate_is_left_undecided() -> None:
    """The product may be without an input for as long as the ring holds carriers."""
    layout = mixed_layout("3:2:2", architecture="loop", row=3)
    safety, recovery, *_ = prove_loops(layout)
    assert (safety.outcome, recovery.outcome) == ("proved", "undecided")
    assert "a full station works 300 steps, 22 patterns have 418" in recovery.because[0]
    assert all(run.share == 1 for run in recovery.runs)


@pytest.mark.parametrize("shares", [(2, 1, 3), (3, 2), (5, 2), (7, 5, 1), (10, 9), (3, 2, 2)])
def test_no_input_is_away_for_longer_than_is_proved(shares: Ratio) -> None:
    """Carrier by carrier, of a mixer that runs freely."""
    mixer = design_mixer(named(shares))
    layout = mixer_layout(mixer)
    mix = supply_of(Wiring(layout), PRODUCT_BELT, Fraction(1)).mix
    assert mix is not None
    assert mix.prompt
    span = Fraction(6000)
    run = simulate_layout(layout, Scenario("gaps", "empty", span, Fraction(0), Fraction(1)))
    came = [name for taken in run.bins[PRODUCT][600:] for name in taken]
    assert len(came) > 3000
    for name, _ in mixer.shares:
        places = [place for place, other in enumerate(came) if other == name]
        assert max(b - a for a, b in pairwise(places)) <= mix.gap(name)


def test_an_open_loop_behind_a_mixer_jams_after_an_outage() -> None:
    layout = mixed_layout("2:1:3", architecture="loop", gate="open", row=6)
    safety = prove_loops(layout)[0]
    assert safety.outcome == "refuted"
    assert "brings candle, seal, tap: one that waits can hold up another" in safety.because[0]
    assert "gate: drained" in safety.remedies[0]


@pytest.mark.parametrize("ratio", ["2:1:3", "3:2"])
@pytest.mark.parametrize("by", [1, -1])
def test_any_one_number_altered_is_refused(ratio: str, by: int) -> None:
    layout = mixed_layout(ratio, architecture="loop", row="auto")
    certificate = _certificate(layout)
    assert [claim.theorem for claim in certificate.claims] == ["drain", "share"]
    assert refused_when_altered(layout, certificate, by) >= 100


def _priority(layout: Layout) -> Layout:
    merges = tuple(
        replace(m, rule="priority") if m.name == "row 1 merge 1" else m for m in layout.merges
    )
    return replace(layout, merges=merges)


def _product_first(layout: Layout) -> Layout:
    diverts = tuple(
        replace(d, outlets=d.outlets[::-1]) if d.name.endswith("feedback first") else d
        for d in layout.diverts
    )
    return replace(layout, diverts=diverts)


def _by_turns(layout: Layout) -> Layout:
    diverts = tuple(
        replace(d, rule="alternate") if d.name.endswith("feedback first") else d
        for d in layout.diverts
    )
    return replace(layout, diverts=diverts)


def _picker_at_the_tree(layout: Layout) -> Layout:
    pickers = tuple(
        replace(p, source=replace(p.source, device="row 1 supply", index=0))
        if p.name == "row 1 inlet 1"
        else p
        for p in layout.pickers
    )
    return replace(layout, pickers=pickers)


def _second_dock(layout: Layout) -> Layout:
    (old,) = (s for s in layout.sources if s.name == "row 1 dock seal")
    sources = (*(s for s in layout.sources if s is not old), replace(old, material="candle"))
    return replace(layout, sources=sources)


def _slow_dock(layout: Layout) -> Layout:
    sources = tuple(
        replace(s, rate=Fraction(1)) if s.name == "row 1 dock seal" else s for s in layout.sources
    )
    return replace(layout, sources=sources)


def _slow_feedback(layout: Layout) -> Layout:
    belts = tuple(
        replace(b, speed=b.speed / 2) if b.name == "row 1 feedback" else b for b in layout.belts
    )
    return replace(layout, belts=belts)


def _short_feedback(layout: Layout) -> Layout:
    belts = tuple(
        replace(b, path=b.path[:1]) if b.name == "row 1 feedback" else b for b in layout.belts
    )
    return replace(layout, belts=belts)


def _one_lane_more(layout: Layout) -> Layout:
    extra = Belt("extra", ((layout.belts[0].path[0]),), Fraction(5), "supply")
    merges = tuple(
        replace(m, inlets=(*m.inlets, "extra")) if m.name == "row 1 merge 1" else m
        for m in layout.merges
    )
    dock = Source("extra dock", extra.path[0], "extra", "seal", 1)
    return replace(
        layout, belts=(*layout.belts, extra), merges=merges, sources=(*layout.sources, dock)
    )


@pytest.mark.parametrize(
    ("altered", "left"),
    [
        (_priority, []),
        (_product_first, []),
        (_by_turns, []),
        (_picker_at_the_tree, []),
        (_second_dock, []),
        (_slow_dock, ["drain"]),
        (_slow_feedback, ["drain"]),
        (_short_feedback, ["drain"]),
        (_one_lane_more, ["drain"]),
    ],
)
def test_a_proof_of_one_mixer_is_none_of_another(
    altered: Callable[[Layout], Layout], left: list[str]
) -> None:
    """Finder and checker refuse alike what is no such mixer."""
    good = mixed_layout("3:2", architecture="loop", row="auto")
    bad = altered(good)
    assert [name for name in _theorems(bad) if name in ("drain", "share")] == left
    document = layout_document(bad)
    for claim in _certificate(good).claims:
        faults = check_certificate(Certificate(digest(document), {}, (claim,)), document)
        assert faults or claim in _certificate(bad).claims
    assert check_certificate(_certificate(bad), document) == ()


@pytest.mark.parametrize("seed", range(4))
def test_no_proof_is_contradicted_by_outages_and_wrong_mixes(seed: int) -> None:
    """Whatever is taken off or put on, and whichever docks stop: in the end full rate."""
    chance = random.Random(seed)
    layout = mixed_layout(PLACED[seed], architecture="loop", row="auto")
    outages = tuple(
        Outage(dock.name, Fraction(chance.randint(0, 400)), Fraction(chance.randint(1, 500)))
        for dock in layout.sources
    )
    foreign = tuple(
        Foreign("row 1 return", 0, chance.choice(["candle", "seal"]), 1, Fraction(when))
        for when in range(20, 400, 7)
    )
    scenario = Scenario(
        "press", "empty", Fraction(1200), Fraction(0), Fraction(1200), outages,
        disturbances=Disturbances(foreign=foreign),
    )  # fmt: skip
    begun = simulate_layout(layout, scenario).end
    after = Scenario("on", "empty", Fraction(1000), Fraction(0), Fraction(1000))
    ended = simulate_layout(layout, after, start=begun).end
    made = {
        ended.counters.stations[name].ended - count.ended
        for name, count in begun.counters.stations.items()
    }
    assert made == {50}
