"""A look at a run as bytes for the page.

    u8   kind: 1 with cells of one byte, 2 with cells of two
    3 x  padding
    u32  number of the frame
    f64  time [s]
    u16  of each belt: cells up to its head that stayed at its last step (padded to 8 bytes)
    cells of all belts, tail first: number of the material x 16 + units, 0 empty
    u8   of each station: 1 busy, 2 blocked, 3 starved, 4 down; above the low three bits the number
         of the material + 1 that it starves for
    u8   of each picker: phase x 64 + number of the material in its hand + 1

Little-endian; belts, stations and pickers in the order of the floor.
"""

from __future__ import annotations

from struct import Struct

from loopwright.simulate.watch import View

HEAD = Struct("<BxxxId")


def frame_bytes(view: View, number: int, time: float) -> bytes:
    """The frame of `view`, at `time` [s]."""
    kind = view.cells.itemsize
    stood = view.stood.astype("<u2").tobytes()
    return b"".join(
        (
            HEAD.pack(kind, number & 0xFFFFFFFF, time),
            stood,
            bytes(-len(stood) % 8),
            view.cells.astype(f"<u{kind}", copy=False).tobytes(),
            view.stations.tobytes(),
            view.pickers.tobytes(),
        )
    )
