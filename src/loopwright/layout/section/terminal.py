"""Docks and deposits of the project that stand where it says, or that serve several wings."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from fractions import Fraction

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.grid import Box, Cell, Heading
from loopwright.grid.path import run_of
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Source
from loopwright.layout.parts import Parts
from loopwright.layout.section.flow import FromDock, ToDock
from loopwright.layout.section.ways import Start, Way, chain_length, draw_ways
from loopwright.model.site import Deposit, cell_of

_INWARD = {
    "west": Heading.EAST,
    "north": Heading.SOUTH,
    "east": Heading.WEST,
    "south": Heading.NORTH,
}

BESIDE = 40
"""How far from its cell a dock may stand that brings more than one belt [cells]."""


@dataclass(frozen=True, slots=True)
class Terminal:
    """A dock at `at` whose belt runs along `heading` for `stub` cells, past the margin; with
    several ways it then turns to `along`, where a divert stands for each. `rate` [carriers/s] is
    what it brings at most. The belt of a dock where things leave comes the other way."""

    material: str
    rate: Fraction | None
    ways: tuple[Way, ...]
    at: Cell
    heading: Heading
    stub: int
    along: Heading

    def cells(self) -> set[Cell]:
        """The dock, its belt, its diverts, and the first cells of the belts that go on."""
        line = run_of(self.at, self.heading, 1 + self.stub)
        if len(self.ways) == 1:
            return {*line, line[-1].step(self.heading)}
        chain = run_of(line[-1], self.along, 1 + chain_length(len(self.ways)))
        return {*line, *chain, *(cell.step(self.heading) for cell in chain)}


def _depths(at: Cell, site: Box) -> dict[str, int]:
    """Cells between `at` and each side of the site."""
    return {
        "west": at.x - site.x,
        "north": at.y - site.y,
        "east": site.x + site.width - 1 - at.x,
        "south": site.y + site.height - 1 - at.y,
    }


def place_dock(
    dock: FromDock | ToDock,
    ways: tuple[Way, ...],
    goal: Cell,
    site: Box,
    margin: int,
    taken: Collection[Cell],
) -> Terminal:
    """The dock at its cell, if it has one, else on its side or the nearest one, as near to `goal`
    as it stands clear of `taken`.

    Raises
    ------
    DesignError
        LW434: it does not stand free there, or there is no free place on that side.
    """
    wanted = cell_of(dock.given.at)
    side: str = "auto" if isinstance(dock.given, Deposit) else dock.given.side
    rate = dock.rate if isinstance(dock, FromDock) else None
    if wanted is not None:
        depths = _depths(wanted, site)
        side = min(depths, key=lambda name: depths[name])
        row = _across(wanted, side, site)
        spots = [wanted] if not dock.belt else [c for c in row if _near(c, wanted)]
        where = f"at {wanted.x},{wanted.y}"
    else:
        if side == "auto":
            depths = _depths(goal, site)
            side = min(depths, key=lambda name: depths[name])
        spots = list(_across(_edge(goal, side, site), side, site))
        where = f"on the {side} side"
    heading = _INWARD[side]
    for at in spots:
        stub = max(1, margin - _depths(at, site)[side])
        for along in (heading.right, heading.left):
            terminal = Terminal(dock.given.material, rate, ways, at, heading, stub, along)
            if all(site.holds(cell) and cell not in taken for cell in terminal.cells()):
                return terminal
    raise DesignError((_walled(dock, where),))


def _near(cell: Cell, wanted: Cell) -> bool:
    return cell != wanted and abs(cell.x - wanted.x) + abs(cell.y - wanted.y) <= BESIDE


def _edge(goal: Cell, side: str, site: Box) -> Cell:
    """The cell of a side that is nearest to `goal`."""
    return goal.step(_INWARD[side].reverse, _depths(goal, site)[side])


def _across(at: Cell, side: str, site: Box) -> Iterator[Cell]:
    """Cells of the line through `at` that runs beside `side`, the nearest first."""
    if side in ("west", "east"):
        for y in sorted(range(site.height), key=lambda y: (abs(y - at.y), y)):
            yield Cell(at.x, y)
    else:
        for x in sorted(range(site.width), key=lambda x: (abs(x - at.x), x)):
            yield Cell(x, at.y)


def draw_terminal(
    draft: Draft, terminal: Terminal, name: str, load: int, parts: Parts
) -> list[Start]:
    """The dock, its belt and the chain of its ways; the starts of the belts that go on."""
    heading = terminal.heading
    path = run_of(terminal.at.step(heading), heading, terminal.stub)
    belt = Belt(f"{name} belt", path, parts.lane_speed, "supply")
    limited = terminal.rate is not None and terminal.rate < parts.lane_speed
    rate = terminal.rate if limited else None
    draft.add(belt, Source(name, terminal.at, belt.name, terminal.material, load, rate))
    onward = heading if len(terminal.ways) == 1 else terminal.along
    return draw_ways(draft, belt, onward, terminal.ways, (heading,))


def _walled(dock: FromDock | ToDock, where: str) -> Finding:
    return new_finding(
        "LW434",
        f"the dock of {dock.given.material} does not stand free {where}",
        Place(path=f"site.{dock.kind}[{dock.index + 1}]"),
    )
