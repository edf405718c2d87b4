"""Frames of a run, taken by compiled code and written chunk by chunk."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import numpy as np

from loopwright.record import Origin, canonical_json, header
from loopwright.simulate.columns import COUNT_BITS
from loopwright.simulate.encode import Plant
from loopwright.simulate.trace.form import (
    CHUNK,
    KIND,
    LENGTH,
    MAGIC,
    TracedBelt,
    TraceError,
    TraceForm,
)
from loopwright.simulate.work import run_plant

if TYPE_CHECKING:
    from loopwright.simulate.columns import Array

EVERY = Fraction(1, 10)
"""Time from frame to frame [s]."""

CHUNK_FRAMES = 100
LEVEL = 1
"""Of compression: higher levels of zstd take many times longer for little."""


class TraceWriter:
    """Writes the trace of one run to the file at `path`: a frame every `every` [s].

    With `go_on` the frames that the file holds already are kept, and the run goes on from there.
    Where the file holds none, it is begun.
    """

    def __init__(
        self, path: Path | str, origin: Origin, every: Fraction = EVERY, *, go_on: bool = False
    ) -> None:
        if every <= 0:
            raise ValueError(f"a frame every {every} s")
        self.path = Path(path)
        self.frames = 0
        self._origin, self._every, self._go_on = origin, every, go_on
        self._file: BinaryIO | None = None

    def begin(self, plant: Plant, start: int) -> None:
        """Open the file for a run of `plant` from tick `start` on.

        Raises
        ------
        OSError
            The file cannot be written.
        TraceError
            The file to go on with is none, or is of another plant.
        """
        import zstandard

        self._plant = plant
        self._form = trace_form(plant, start, self._every)
        self._compressor = zstandard.ZstdCompressor(level=LEVEL, write_content_size=True)
        kind = np.dtype(f"<u{self._form.width}")
        self._buffer: Array = np.zeros((CHUNK_FRAMES, self._form.cells), kind)
        self._filled = 0
        if not (self._go_on and self._continue()):
            self._file = self.path.open("wb")
            head = canonical_json(header(KIND, self._origin) | self._form.document()).encode()
            self._file.write(MAGIC + LENGTH.pack(len(head)) + head)

    def advance(self, until: int) -> None:
        """Run the plant up to tick `until`, taking the frames that are due on the way."""
        while self._form.tick_of(self.frames) <= until:
            ticks: list[int] = []
            while self._filled + len(ticks) < CHUNK_FRAMES:
                tick = self._form.tick_of(self.frames + len(ticks))
                if tick > until:
                    break
                ticks.append(tick)
            due, first = np.array(ticks, np.int64), 0
            for engine in self._plant.engines:
                engine.film(due, self._buffer, self._filled, first)
                first += int(engine.part.belts.rows["length"].sum())
            self._filled += len(ticks)
            self.frames += len(ticks)
            if self._filled == CHUNK_FRAMES:
                self._flush()
        run_plant(self._plant, until)

    def close(self) -> None:
        """Write what is left and close the file."""
        if self._file is not None:
            self._flush()
            self._file.close()
            self._file = None

    def _flush(self) -> None:
        assert self._file is not None
        if self._filled:
            data = self._compressor.compress(self._buffer[: self._filled].tobytes())
            self._file.write(CHUNK.pack(self._filled, len(data)) + data)
            self._file.flush()
            self._filled = 0

    def _continue(self) -> bool:
        """Open the file behind its last whole chunk; False where there is none."""
        from loopwright.simulate.trace.reader import Trace

        if not self.path.exists():
            return False
        with Trace.open(self.path) as trace:
            if trace.form != self._form:
                raise TraceError(f"{self.path}: the trace is of another layout, start or interval")
            self.frames, end = len(trace), trace.end
        self._file = self.path.open("r+b")
        self._file.truncate(end)
        self._file.seek(end)
        return True


def trace_form(plant: Plant, start: int, every: Fraction) -> TraceForm:
    """The form of a trace of `plant` from tick `start` on, with a frame every `every` [s]."""
    belts: list[TracedBelt] = []
    first = bits = 0
    for members, part in zip(plant.members, plant.parts, strict=True):
        lengths = part.belts.rows["length"].tolist()
        for name, cells, group in zip(members.belts, lengths, members.palette, strict=True):
            palette = tuple(kind.material for kind in members.palettes[group])
            belts.append(TracedBelt(name, first, cells, palette))
            bits = max(bits, COUNT_BITS + len(palette))
            first += cells
    width = 1 if bits <= 8 else 2 if bits <= 16 else 4
    return TraceForm(tuple(belts), width, COUNT_BITS, start, plant.tick, every)
