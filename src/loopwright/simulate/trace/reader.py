"""A trace, read by time."""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np

from loopwright.record import HeaderError, check_header
from loopwright.simulate.columns import Array
from loopwright.simulate.state import Carrier
from loopwright.simulate.trace.form import (
    CHUNK,
    KIND,
    LENGTH,
    MAGIC,
    MOST_CHUNK,
    MOST_HEAD,
    TracedBelt,
    TraceError,
    TraceForm,
    read_form,
)


@dataclass(frozen=True)
class Frame:
    """All cells at one tick; `codes` as the file has them, `time` [s] from tick 0."""

    number: int
    tick: int
    time: Fraction
    codes: Array
    form: TraceForm

    def belt(self, name: str) -> tuple[Carrier | None, ...]:
        """What is on the cells of a belt, tail first.

        Raises
        ------
        KeyError
            The trace has no such belt.
        """
        return self._cells(self._places[name])

    @property
    def belts(self) -> dict[str, tuple[Carrier | None, ...]]:
        """What is on all belts."""
        return {belt.name: self._cells(belt) for belt in self.form.belts}

    @cached_property
    def _places(self) -> Mapping[str, TracedBelt]:
        return {belt.name: belt for belt in self.form.belts}

    def _cells(self, belt: TracedBelt) -> tuple[Carrier | None, ...]:
        bits = self.form.count_bits
        units = (1 << bits) - 1
        codes = self.codes[belt.first : belt.first + belt.cells].tolist()
        return tuple(
            (belt.materials[(code >> bits).bit_length() - 1], code & units) if code else None
            for code in codes
        )


class Trace:
    """An open trace file; `len` is the number of its frames.

    Chunks are found by hopping from one to the next when the file is opened; a chunk that was not
    written to its end is left out. One chunk is held in memory.
    """

    def __init__(self, file: BinaryIO, form: TraceForm, head: Mapping[str, Any]) -> None:
        self._file = file
        self.form = form
        self.head = head
        self._firsts: list[int] = []
        self._places: list[tuple[int, int, int]] = []
        self._count = 0
        self._held: tuple[int, Array] | None = None
        self._find_chunks()

    @classmethod
    def open(cls, path: Path | str) -> Trace:
        """The trace in the file at `path`.

        Raises
        ------
        OSError
            The file cannot be read.
        TraceError
            It is no trace, or broken at its beginning.
        """
        file: BinaryIO = Path(path).open("rb")  # noqa: SIM115 - `close` closes it
        try:
            head = read_head(file)
            return cls(file, read_form(head), head)
        except BaseException:
            file.close()
            raise

    def __len__(self) -> int:
        return self._count

    def __enter__(self) -> Trace:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._file.close()

    @property
    def end(self) -> int:
        """Where the last whole chunk ends in the file."""
        return self._end

    def frame(self, time: Fraction | int | float) -> Frame:
        """The last frame taken at or before `time` [s] from the beginning of the trace.

        Raises
        ------
        IndexError
            There is no frame at such a time: it is negative, or the trace is empty.
        """
        number = int(Fraction(time) // self.form.every)
        number = min(number, self._count - 1)
        while number > 0 and self._time_of(number) > time:
            number -= 1
        return self.number(number)

    def number(self, number: int) -> Frame:
        """Frame `number`, from 0 on.

        Raises
        ------
        IndexError
            There is no such frame.
        TraceError
            Its chunk is broken.
        """
        if not 0 <= number < self._count:
            raise IndexError(f"frame {number} of {self._count}")
        chunk = bisect_right(self._firsts, number) - 1
        codes = self._chunk(chunk)[number - self._firsts[chunk]]
        tick = self.form.tick_of(number)
        return Frame(number, tick, tick * self.form.tick, codes, self.form)

    def __iter__(self) -> Iterator[Frame]:
        return map(self.number, range(self._count))

    def _time_of(self, number: int) -> Fraction:
        return (self.form.tick_of(number) - self.form.start) * self.form.tick

    def _find_chunks(self) -> None:
        at = self._end = self._file.tell()
        size = self._file.seek(0, 2)
        while at + CHUNK.size <= size:
            self._file.seek(at)
            frames, length = CHUNK.unpack(self._file.read(CHUNK.size))
            at += CHUNK.size + length
            if at > size or not frames or frames * self.form.frame_bytes > MOST_CHUNK:
                break
            self._firsts.append(self._count)
            self._places.append((at - length, length, frames))
            self._count += frames
            self._end = at

    def _chunk(self, number: int) -> Array:
        if self._held is None or self._held[0] != number:
            import zstandard

            at, length, frames = self._places[number]
            self._file.seek(at)
            whole = frames * self.form.frame_bytes
            try:
                data = zstandard.ZstdDecompressor().decompress(
                    self._file.read(length), max_output_size=whole
                )
            except zstandard.ZstdError as error:
                raise TraceError(f"chunk {number} of the trace is broken: {error}") from error
            if len(data) != whole:
                raise TraceError(f"chunk {number} of the trace has {len(data)} bytes, not {whole}")
            kind = np.dtype(f"<u{self.form.width}")
            codes = np.frombuffer(data, kind).reshape(frames, self.form.cells)
            self._held = number, codes
        return self._held[1]


def read_head(file: BinaryIO) -> dict[str, Any]:
    """The head of a trace file, which is then read up to its first chunk.

    Raises
    ------
    TraceError
        The file is no trace, or of another version.
    """
    if file.read(len(MAGIC)) != MAGIC:
        raise TraceError("this is no trace: it does not begin like one")
    length = file.read(LENGTH.size)
    size = LENGTH.unpack(length)[0] if len(length) == LENGTH.size else MOST_HEAD + 1
    text = file.read(size) if size <= MOST_HEAD else b""
    if len(text) != size:
        raise TraceError("the head of the trace is cut short")
    try:
        head = json.loads(text)
        check_header(head, KIND)
    except (UnicodeDecodeError, json.JSONDecodeError, HeaderError) as error:
        raise TraceError(str(error)) from error
    assert isinstance(head, dict)
    return head
