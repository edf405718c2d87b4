"""The ways into compiled code, without the compiler: it runs once, in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from functools import cache
from threading import Lock
from typing import Any

import numpy as np

from loopwright.simulate.columns import Array, Part, column_of
from loopwright.simulate.kernel.store import alone, edition, keep, kept
from loopwright.simulate.kernel.table import table_of

NUMBER = "a number"
ROW = "int64 (entry)"
WAYS_IN: dict[str, tuple[str, ...]] = {
    "run_to": (NUMBER,),
    "count_cells": (ROW, ROW, ROW, "int32 (row, entry)", ROW, "int32 (row, entry)"),
    **{f"film_{w}": (ROW, f"uint{8 * w} (frame, cell)", NUMBER, NUMBER) for w in (1, 2, 4)},
    **{f"view_belts_{w}": (ROW, ROW, f"uint{8 * w} (cell)", ROW, "uint16 (belt)") for w in (1, 2)},
    "view_stations": (ROW, ROW, "uint8 (station)"),
    "view_pickers": (ROW, ROW, "uint8 (picker)"),
}
"""What can be called from outside, and what it takes besides the arrays of a part, in the words of
`columns.py`. A number behind a name is the width [bytes] of what is written to."""

Call = Callable[..., None]

INTERPRETED = os.environ.get("NUMBA_DISABLE_JIT", "0") != "0"
"""Whether the kernel runs as it is written, for tests."""

BUILD = """
import signal, sys
signal.signal(signal.SIGINT, signal.SIG_IGN)
sys.path[:] = sys.argv[2:]
from loopwright.simulate.kernel.build import main
main(sys.argv[1])
"""

ARGUMENTS = {name: 1 + len(kinds) for name, kinds in WAYS_IN.items()}

on_build: list[Callable[[bool], None]] = []
"""Called with True when the engine is to be built, which takes seconds, and with False after it."""

_one_at_a_time = Lock()


class Engine:
    """Compiled code with the arrays of one part of a plant."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._table = table_of(part)
        self._cell = part.belts.cells.dtype.name

    def run_to(self, until: int) -> None:
        """Carry out the ticks up to `until`."""
        self._call("run_to", until)

    def film(self, ticks: Array, frames: Array, frame: int, first: int) -> None:
        """Run on to each of `ticks`, and write the cells of all belts to `frames` (frame, cell):
        at the first tick to `frame`, from place `first` on."""
        self._call(f"film_{frames.itemsize}", ticks, frames, frame, first)

    def count_cells(
        self, places: Array, firsts: Array, names: Array, on: Array, units: Array, seen: Array
    ) -> None:
        """Add what is on the belts to `on` (belt, material) [carrier], `units` (material) and
        `seen` (cell, material) [carrier]; these are of the whole layout, see `census.py`."""
        self._call("count_cells", places, firsts, names, on, units, seen)

    def view_belts(
        self, firsts: Array, names: Array, cells: Array, places: Array, stood: Array
    ) -> None:
        """Write what is on each cell to `cells`, and what stood to `stood`; see `view.py`."""
        self._call(f"view_belts_{cells.itemsize}", firsts, names, cells, places, stood)

    def view_stations(self, places: Array, names: Array, shown: Array) -> None:
        """Write what each station does to `shown`; see `view.py`."""
        self._call("view_stations", places, names, shown)

    def view_pickers(self, places: Array, names: Array, shown: Array) -> None:
        """Write the phase of each picker and what it holds to `shown`; see `view.py`."""
        self._call("view_pickers", places, names, shown)

    def _call(self, name: str, *arguments: Any) -> None:
        if INTERPRETED:
            _as_written(name)(self.part, *arguments)
            return
        given = [
            argument if kind == NUMBER else _table(argument, kind)
            for argument, kind in zip(arguments, WAYS_IN[name], strict=True)
        ]
        _compiled(self._cell)[name](*map(_word, (self._table, *given)))


def _table(array: Array, kind: str) -> Array:
    """The table of an array that must be of the kind that the code was built for."""
    dtype, extents, _ = column_of(kind, "")
    if array.dtype != dtype or array.ndim != len(extents):
        raise TypeError(f"an array of {array.dtype} {array.shape} in place of {kind}")
    return table_of(array)


def _word(given: Any) -> int:
    """What is handed over: the place of a table, or a number."""
    if isinstance(given, np.ndarray):
        return int(given.__array_interface__["data"][0])
    return int(given)


def _as_written(name: str) -> Any:
    """The function of the kernel of that name."""
    from loopwright.simulate.kernel import census, film, tick, view

    rooms = {"run_to": tick, "film": film, "count_cells": census}
    return getattr(rooms.get(plain_name(name), view), plain_name(name))


def plain_name(name: str) -> str:
    """The name of the function behind a way in."""
    return name.rstrip("_0123456789")


def prepare(cell: str) -> None:
    """Load the engine for cells of that type, and build it if it is not there."""
    if not INTERPRETED:
        _compiled(cell)


def _compiled(cell: str) -> Mapping[str, Call]:
    """The functions of the engine for cells of that type."""
    with _one_at_a_time:
        return _loaded(cell)


@cache
def _loaded(cell: str) -> Mapping[str, Call]:
    from loopwright.simulate.kernel.machine import load, machine_digest

    name = f"engine-{edition()}-{cell}-{machine_digest()}"
    code = kept(name)
    if code is not None:
        return load(code, ARGUMENTS)
    for tell in on_build:
        tell(True)
    try:
        code = _made(name, cell)
        return load(code, ARGUMENTS) if code is not None else _as_compiled(cell)
    finally:
        for tell in on_build:
            tell(False)


def _made(name: str, cell: str) -> bytes | None:
    """The object code, built by one of all processes that want it now, and kept; None where it
    cannot be built."""
    with alone(name):
        code = kept(name)  # another process may have built it meanwhile
        if code is None and (code := _built(cell)) is not None:
            keep(name, code)
        return code


def _as_compiled(cell: str) -> Mapping[str, Call]:
    """The functions as the compiler makes them in this process."""
    from loopwright.simulate.kernel.build import compiled_here

    return compiled_here(cell)


def _built(cell: str) -> bytes | None:
    """The object code, from a process of its own, None where that fails.

    The compiler is large, holds up everything else while it works, and is told by the environment
    to leave optimising to `build.py`.
    """
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", BUILD, cell, *sys.path],
        env={**os.environ, "NUMBA_OPT": "0"},
        capture_output=True,
        check=False,
    )
    return done.stdout if done.returncode == 0 else None
