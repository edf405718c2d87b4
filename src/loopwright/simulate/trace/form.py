"""The form of a trace file; docs/files/trace.md describes it for other programs.

    8 bytes    MAGIC
    4 bytes    length of the head
    head       JSON: kind, version, origin, and what the entries below say
    chunks     each: 4 bytes frames in it, 4 bytes length, and so many bytes of one zstd frame

Numbers are unsigned and little-endian. A chunk holds its frames one after the other, a frame the
cells of all belts in the order of the head. The file is whole after every chunk.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from struct import Struct
from typing import Any

MAGIC = b"LWTRACE\n"
KIND = "trace"
LENGTH = Struct("<I")
CHUNK = Struct("<II")
MOST_HEAD = 64_000_000
MOST_CHUNK = 1_000_000_000
"""Bytes of a head and of a chunk; a file that says more is broken."""


class TraceError(ValueError):
    """A file is no trace, or is broken."""


@dataclass(frozen=True, slots=True)
class TracedBelt:
    """A belt in the frames of a trace: `first` is the place of its tail cell in a frame.

    Bit i above the count stands for `materials[i]`; carriers of one material with different marks
    have different bits.
    """

    name: str
    first: int
    cells: int
    materials: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TraceForm:
    """What the head of a trace says.

    A cell is `width` bytes: 0 when empty, else units in the low `count_bits` bits and one bit above
    them for the material. Frame k is the state at tick `start + ceil(k x every / tick)`, that
    is the first tick not before that time; `every` and `tick` [s].
    """

    belts: tuple[TracedBelt, ...]
    width: int
    count_bits: int
    start: int
    tick: Fraction
    every: Fraction

    @property
    def cells(self) -> int:
        """Cells of a frame."""
        return sum(belt.cells for belt in self.belts)

    @property
    def frame_bytes(self) -> int:
        """Bytes of a frame before it is compressed."""
        return self.cells * self.width

    def tick_of(self, frame: int) -> int:
        """The tick of which `frame` is."""
        time = self.every * frame
        return self.start - (-time // self.tick)

    def document(self) -> dict[str, Any]:
        """The entries of the head, apart from its header."""
        return {
            "width": self.width,
            "count_bits": self.count_bits,
            "start": self.start,
            "tick": str(self.tick),
            "every": str(self.every),
            "belts": [
                {"name": belt.name, "cells": belt.cells, "materials": list(belt.materials)}
                for belt in self.belts
            ],
        }


def read_form(head: Mapping[str, Any]) -> TraceForm:
    """The form that `head` describes.

    Raises
    ------
    TraceError
        Something is missing or of the wrong shape.
    """
    try:
        belts, first = [], 0
        for entry in head["belts"]:
            cells = int(entry["cells"])
            belts.append(TracedBelt(str(entry["name"]), first, cells, tuple(entry["materials"])))
            first += cells
        form = TraceForm(
            tuple(belts),
            int(head["width"]),
            int(head["count_bits"]),
            int(head["start"]),
            Fraction(head["tick"]),
            Fraction(head["every"]),
        )
    except (KeyError, TypeError, ValueError, ZeroDivisionError) as error:
        raise TraceError(f"the head of the trace is not whole: {error}") from error
    if form.width not in (1, 2, 4) or form.tick <= 0 or form.every <= 0:
        raise TraceError("the head of the trace names an impossible width, tick or interval")
    return form
