"""Lines of supply: one for each dock that serves an entry, side by side before the row's head."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.grid import Cell
from loopwright.grid.path import run_of
from loopwright.layout.supply.entry import Entry

MOST_DOCKS = 3
"""Docks that can serve one entry: inlets of a merge."""


@dataclass(frozen=True, slots=True)
class Fan:
    """How the lines of one entry come to it.

    `lines` gives the row of cells (y) of each dock's line, by number of the dock. The outlet runs
    along `main`, from column `join` where several lines meet, turns in column `turn`, and ends
    before the entry's belt.
    """

    entry: Entry
    lines: tuple[tuple[int, int], ...]
    main: int
    join: int
    turn: int

    @property
    def shared(self) -> bool:
        """Whether several docks serve the entry."""
        return len(self.lines) > 1

    def way_in(self, x: int) -> tuple[Cell, ...]:
        """Cells from column `x` of the main line to the one before the entry's belt."""
        end = self.entry.at
        along = [Cell(column, self.main) for column in range(x, self.turn + 1)]
        step = 1 if end.y > self.main else -1
        across = [Cell(self.turn, y) for y in range(self.main + step, end.y + step, step)]
        last = [Cell(column, end.y) for column in range(self.turn + 1, end.x + 1)]
        return (*along, *(across if end.y != self.main else ()), *last)

    def way_to_join(self, x: int, y: int) -> tuple[Cell, ...]:
        """Cells of a line along `y` from column `x` to where the entry's lines meet."""
        last = self.join - 1 if y == self.main else self.join
        return tuple(Cell(column, y) for column in range(x, last + 1))


def fan_width(entries: int) -> int:
    """Cells from the column where lines meet to the one before the entries' belts."""
    return entries + 1


def make_fans(head: Sequence[Entry], served: Sequence[tuple[int, ...]]) -> list[Fan]:
    """Lines for the entries of one row, from the outermost inwards; `served` has the docks of each.

    Raises
    ------
    DesignError
        LW425: there are more lines than rows of cells before the head.
    """
    outermost = head[0]
    lines = run_of(outermost.at, outermost.inward, sum(len(docks) for docks in served))
    if len(lines) > outermost.depth or max(len(docks) for docks in served) > MOST_DOCKS:
        raise DesignError((_no_room(outermost, len(lines)),))
    fans: list[Fan] = []
    first = 0
    for number, (entry, docks) in enumerate(zip(head, served, strict=True)):
        own = [cell.y for cell in lines[first : first + len(docks)]]
        first += len(docks)
        fans.append(
            Fan(
                entry,
                tuple(zip(docks, sorted(own), strict=True)),
                own[1] if len(own) == MOST_DOCKS else own[0],
                entry.at.x - len(head),
                entry.at.x - (len(head) - 1 - number),
            )
        )
    return fans


def _no_room(entry: Entry, lines: int) -> Finding:
    return new_finding(
        "LW425",
        f"{entry.row} is served by {lines} lines of supply",
        Place(device=entry.row),
        allowed=f"{entry.depth} lines side by side, {MOST_DOCKS} docks of a material",
    )
