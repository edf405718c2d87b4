"""Jams that the prover must find, and proofs that it must find."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_safety
from loopwright.prove.jam import find_jam
from loopwright.prove.rings import find_rings
from tests.prove.loops import kits, small_loop, with_quotas

JAMS = {
    "open, two inputs": lambda: small_loop("open", cycle=20),
    "open, three inputs": lambda: small_loop("open", needs={"A": 1, "B": 2, "C": 1}, lane=8),
    "open, four units a carrier": lambda: small_loop("open", load=4, cycle=20),
    "counted, one above the limit": lambda: small_loop("counted", quotas={"A": 7, "B": 3}),
    "windowed, one above the limit": lambda: small_loop("windowed", quotas={"A": 3, "B": 7}),
    "scarcest-first, one above": lambda: small_loop(quotas={"A": 7, "B": 7}, cycle=30),
    "one of two has no quota": lambda: small_loop("counted", quotas={"A": 3}),
    "takes ahead, ratio-locked": lambda: small_loop(
        "ratio-locked", pattern="AB", habit="grab", at=(0, 1, 2)
    ),
    "takes ahead, quotas": lambda: small_loop(quotas={"A": 3, "B": 3}, habit="grab"),
    "the example, open": lambda: kits(rate=Fraction(3, 10), row=6, gate="open"),
    "the example, taking too much": lambda: with_quotas(
        kits(rate=Fraction(3, 10), row=6), "counted", {"candle": 35, "seal": 35, "tap": 2}
    ),
}


@pytest.mark.parametrize("name", JAMS)
def test_this_jam_is_found(name: str) -> None:
    layout = JAMS[name]()
    ring = find_rings(layout)[0]
    assert not isinstance(find_safety(ring), Claim)
    assert find_jam(layout, ring) is not None


PROOFS = {
    "quotas at the limit": lambda: small_loop("counted", quotas={"A": 6, "B": 6}),
    "quotas that add up to more than the loop": lambda: small_loop(quotas={"A": 6, "B": 5}),
    "a window longer than a turn": lambda: small_loop(
        "windowed", quotas={"A": 6, "B": 6}, window=30
    ),
    "one material needs no gate": lambda: small_loop("open", needs={"A": 3}),
    "a long ratio-locked loop": lambda: small_loop("ratio-locked", pattern="AB", lane=30),
    "an uneven recipe, ratio-locked": lambda: small_loop(
        "ratio-locked", needs={"A": 2, "B": 1}, pattern="ABA", load=3
    ),
    "the example": lambda: kits(),
    "the example, ratio-locked": lambda: kits(gate="ratio-locked"),
}


@pytest.mark.parametrize("name", PROOFS)
def test_this_proof_is_found(name: str) -> None:
    ring = find_rings(PROOFS[name]())[0]
    assert isinstance(find_safety(ring), Claim)
