"""The tick divides every duration, and no longer one does."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.exact import common_tick

DURATIONS = st.lists(
    st.builds(Fraction, st.integers(1, 1000), st.integers(1, 1000)), min_size=1, max_size=6
)


def test_the_tick_of_a_block() -> None:
    assert common_tick([Fraction(1, 30), Fraction(1, 6), Fraction(16, 3)]) == Fraction(1, 30)
    assert common_tick([Fraction(1, 4), Fraction(1, 6)]) == Fraction(1, 12)
    assert common_tick([Fraction(6), Fraction(4)]) == 2


@given(DURATIONS)
def test_the_tick_divides_every_duration(durations: list[Fraction]) -> None:
    tick = common_tick(durations)
    counts = [duration / tick for duration in durations]
    assert all(count.denominator == 1 for count in counts)
    assert common_tick(counts) == 1


@pytest.mark.parametrize("durations", [[], [Fraction(0)], [Fraction(1), Fraction(-1)]])
def test_durations_must_be_there_and_above_0(durations: list[Fraction]) -> None:
    with pytest.raises(ValueError, match="duration"):
        common_tick(durations)
