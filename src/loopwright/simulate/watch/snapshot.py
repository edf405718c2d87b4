"""All arrays of a plant as bytes, and back."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from loopwright.simulate.columns import Array
from loopwright.simulate.encode import Plant

LEVEL = 1
"""Of compression: higher levels take many times longer for little."""


def take_snapshot(plant: Plant) -> bytes:
    """Everything that changes in a run."""
    import zstandard

    whole = b"".join(array.tobytes() for array in _arrays(plant))
    return zstandard.ZstdCompressor(level=LEVEL).compress(whole)


def put_back(plant: Plant, snapshot: bytes) -> None:
    """Bring `plant` back to where it was when `snapshot` was taken of it."""
    import zstandard

    whole = zstandard.ZstdDecompressor().decompress(snapshot)
    at = 0
    for array in _arrays(plant):
        flat = array.reshape(-1).view(np.ndarray)
        size = array.nbytes
        flat[:] = np.frombuffer(whole, flat.dtype, flat.size, at) if flat.size else flat
        at += size
    assert at == len(whole), "a snapshot of another plant"


def _arrays(plant: Plant) -> Iterator[Array]:
    for part in plant.parts:
        for group in part:
            yield from group
