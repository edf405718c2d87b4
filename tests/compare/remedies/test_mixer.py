"""Mixers measured: full lanes, and a lane that is short, beside the law."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.block.mixer import design_mixer, prove_mixer
from loopwright.compare.remedies.mixer import BIN, CARRIERS, STEPS, measure_mixer
from tests.layouts.ratios import Ratio, named


@pytest.mark.parametrize("shares", [(2, 1, 3), (3, 2), (7, 5, 1), (1, 1, 1, 1, 1)])
def test_runs_agree_with_the_law(shares: Ratio) -> None:
    mixer = design_mixer(named(shares))
    run = measure_mixer(mixer, Fraction(9, 10))
    total = sum(count for _, count in run.counts)
    assert total >= CARRIERS
    assert run.stray <= run.bound
    assert (run.bound > prove_mixer(mixer).spread) == bool(mixer.feedback)
    assert bool(run.priming) == bool(mixer.feedback)
    # What lies on the belts may differ by all their cells between the ends of a run.
    assert abs(run.rate - mixer.net_rate) <= Fraction(run.cells, total)
    for short in run.short:
        assert dict(short.law) != {name: mixer.net_rate * share / mixer.total
                                   for name, share in mixer.shares}  # fmt: skip
        for (name, law), (other, seen) in zip(short.law, short.measured, strict=True):
            assert name == other
            assert abs(law - seen) <= Fraction(run.cells + BIN, STEPS)


def test_a_wrong_law_would_be_seen() -> None:
    """Shared evenly among all others, the loss would be far from what runs show."""
    mixer = design_mixer({"A": 2, "B": 1, "C": 3})
    run = measure_mixer(mixer, Fraction(3, 5))
    short = next(one for one in run.short if one.material == "B")
    lost = Fraction(1, 6) - short.supply
    even = {"A": Fraction(1, 3) + lost * 2 / 5, "C": Fraction(1, 2) + lost * 3 / 5}
    seen = dict(short.measured)
    assert all(abs(even[name] - seen[name]) > Fraction(1, 100) for name in even)
