"""Marks: one bit a device, whatever the width of its number."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from loopwright.simulate import fill
from loopwright.simulate.kernel import mark as marks


def _plain(function: Any) -> Any:
    """The function as it is written."""
    return getattr(function, "py_func", function)


@pytest.mark.parametrize("mark", [fill.mark, _plain(marks.mark)])
@pytest.mark.parametrize("width", [np.int16, np.int32, np.int64, int])
def test_each_device_has_a_bit_of_its_own(
    mark: Callable[[Any, Any], None], width: Callable[[int], Any]
) -> None:
    for number in (0, 30, 31, 32, 63):
        words = np.zeros(2, np.int64)
        mark(words, width(number))
        assert words.tolist() == [(1 << number) & 0xFFFFFFFF, (1 << number) >> 32]
        _plain(marks.unmark)(words, width(number))
        assert words.tolist() == [0, 0]
