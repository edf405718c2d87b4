"""Names of rows in the margins: each readable, as near to its axis as can be."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from loopwright.drawing.frame import spread


@given(st.lists(st.integers(0, 60), min_size=1, max_size=12), st.integers(1, 9))
def test_labels_keep_apart_and_their_order_and_their_middle(places, apart):
    wanted = sorted(places)
    moved = spread(wanted, apart)
    assert len(moved) == len(wanted)
    assert all(after - before >= apart - 1e-9 for before, after in pairwise(moved))
    assert abs(sum(moved) - sum(wanted)) < 1e-6
    if all(after - before >= apart for before, after in pairwise(wanted)):
        assert moved == wanted
