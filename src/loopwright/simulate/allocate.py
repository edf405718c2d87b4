"""The arrays that the list of columns describes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import prod
from typing import Any, TypeVar, get_args, get_type_hints

import numpy as np

from loopwright.simulate import records
from loopwright.simulate.columns import Array

LINE = 64
"""Bytes of a line of the cache."""

Group = TypeVar("Group")


def allocate(group: Callable[..., Group], sizes: Mapping[str, int], cell: str) -> Group:
    """Arrays of `group` filled with 0; `sizes` by dimension, `cell` is the dtype of a cell."""
    return group(
        *(
            _array(get_args(hint)[1], sizes, cell)
            for hint in get_type_hints(group, include_extras=True).values()
        )
    )


def _array(text: str, sizes: Mapping[str, int], cell: str) -> Array:
    """The array that `text` describes."""
    kind, rest = text.split(" (", 1)
    shape = [sizes[name] for name in rest.split(")", 1)[0].split(", ")]
    if kind.isupper():
        fields: records.Fields = getattr(records, kind)
        record = np.dtype([(name, dtype) for name, dtype, _, _ in fields], align=True)
        return _zeros(shape, record).view(np.recarray)
    return _zeros(shape, np.dtype(cell if kind == "cell" else kind))


def _zeros(shape: list[int], dtype: np.dtype[Any]) -> Array:
    """An array of zeros that begins with a line of the cache."""
    size = prod(shape) * dtype.itemsize
    room = np.zeros(size + LINE, dtype=np.uint8)
    start = -room.ctypes.data % LINE
    return room[start : start + size].view(dtype).reshape(shape)
