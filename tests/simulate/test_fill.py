"""What a state puts into the arrays of the engine."""

from __future__ import annotations

import numpy as np
import pytest

from loopwright.simulate.columns import WORD_BITS
from loopwright.simulate.fill import mark


@pytest.mark.parametrize("number", [0, 31, 32, 63])
def test_a_mark_is_one_bit_whatever_counts_it(number: int) -> None:
    """The last bit of a word, counted by a narrow number, would be a sign and set all above it."""
    words = np.zeros(2, dtype=np.int64)
    mark(words, np.int32(number))
    expected = [0, 0]
    expected[number >> WORD_BITS] = 1 << (number & ((1 << WORD_BITS) - 1))
    assert words.tolist() == expected
