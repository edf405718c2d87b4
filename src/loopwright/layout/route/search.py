"""The cheapest way of one belt over the grid: A* over cells, headings and bridges."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise

from loopwright.grid import Cell, Heading
from loopwright.layout.route.ground import Grid, Ground

STEP = 1000
"""Cost of a cell, of a bridge and of a crossing: the objective counts them alike."""

TURN = 1
"""Cost of a turn: of ways with the same objective the straightest."""

Extra = Callable[[Cell], int]
FALLEN = -1

ATTEMPTS = 12
"""How often a way that comes twice to one cell is looked for anew, without that visit."""

State = tuple[int, int, int]
"""Where a belt has come to: place, number of its heading, cells that it has been up; `FALLEN` just
after."""

HEADINGS = tuple(Heading)
"""East, south, west, north: each a turn to the right of the one before."""


@dataclass(frozen=True, slots=True)
class Net:
    """A belt to be laid from `start` to `goal`, both on the floor.

    It leaves `start` with the heading `leave` and comes to `goal` with the heading `arrive`; None
    leaves it free.
    """

    name: str
    start: Cell
    goal: Cell
    leave: Heading | None = None
    arrive: Heading | None = None


def find_path(ground: Ground, net: Net, extra: Extra | None = None) -> tuple[Cell, ...] | None:
    """The cheapest way of `net`, or None; each cell costs `extra` on top.

    Belts rise and fall straight ahead. Costs are whole numbers; of equal ways the first in the
    order of cells and headings is taken, so the same ground gives the same way.
    """
    if not ground.free(net.start) or not ground.free(net.goal):
        return None
    if net.start == net.goal:
        return (net.start,)
    search = _Search.over(ground, net, extra)
    for _ in range(ATTEMPTS):
        states = search.states()
        twice = _second_visit(states)
        if twice is None:
            cells = [search.grid.cell(place, 1 if up > 0 else 0) for place, _, up in states]
            return tuple(cells) or None
        search.barred.add(twice)
    return None


def _second_visit(states: Sequence[State]) -> State | None:
    """The first state in which a way comes to a cell for the second time, which no belt can."""
    seen: set[tuple[int, bool]] = set()
    for state in states:
        cell = state[0], state[2] > 0
        if cell in seen:
            return state
        seen.add(cell)
    return None


@dataclass(slots=True)
class _Search:
    """One search over whole numbers: which places are taken on the floor and above, and where a
    bridge crosses a belt. A state in `barred` is passed by."""

    grid: Grid
    net: Net
    dearer: Extra | None
    span: int
    floor: bytearray
    upper: bytearray
    crossed: bytearray
    barred: set[State]

    @classmethod
    def over(cls, ground: Ground, net: Net, extra: Extra | None) -> _Search:
        grid = ground.grid()
        floor, upper = bytearray(grid.blocked), bytearray(grid.blocked)
        crossed = bytearray(len(grid.blocked))
        for cell in ground.belts:
            if ground.area.holds(cell):
                place = grid.place(cell)
                if cell.level:
                    upper[place] = 1
                else:
                    floor[place] = crossed[place] = 1
        return cls(grid, net, extra, ground.span, floor, upper, crossed, set())

    def states(self) -> tuple[State, ...]:
        """States of the cheapest way, none of them barred; empty where there is none. It may come
        twice to one cell: a state knows nothing of those before it."""
        net, grid = self.net, self.grid
        start, goal = grid.place(net.start), grid.place(net.goal)
        arrive = None if net.arrive is None else HEADINGS.index(net.arrive)
        steps = grid.steps_to(goal)
        if steps[start] < 0:
            return ()
        ways = range(4) if net.leave is None else (HEADINGS.index(net.leave),)
        best: dict[State, int] = {(start, way, 0): STEP for way in ways}
        before: dict[State, State] = {}
        queue = [(STEP, STEP, number, state) for number, state in enumerate(best)]
        number = len(queue)
        while queue:
            _, cost, _, state = heappop(queue)
            if cost > best[state]:
                continue
            if state[0] == goal and state[2] <= 0 and arrive in (None, state[1]):
                return _trace(state, before)
            for after, price in self._moves(state, start):
                paid = cost + price
                if self.dearer is not None:
                    paid += self.dearer(grid.cell(after[0], 1 if after[2] > 0 else 0))
                if paid < best.get(after, paid + 1) and after not in self.barred:
                    best[after], before[after] = paid, state
                    heappush(queue, (paid + STEP * steps[after[0]], paid, number, after))
                    number += 1
        return ()

    def _moves(self, state: State, start: int) -> list[tuple[State, int]]:
        """States after one more cell, with what it costs. A belt rises only to cross another."""
        place, heading, up = state
        pitch = self.grid.pitch
        offsets = (1, pitch, -1, -pitch)
        ahead = place + offsets[heading]
        found: list[tuple[State, int]] = []
        if up <= 0:
            if not self.floor[ahead]:
                found.append(((ahead, heading, 0), STEP))
            if up == 0 and (place != start or self.net.leave is None):
                for way in ((heading - 1) % 4, (heading + 1) % 4):
                    after = place + offsets[way]
                    if not self.floor[after]:
                        found.append(((after, way, 0), STEP + TURN))
        elif not self.floor[ahead]:
            found.append(((ahead, heading, FALLEN), STEP))
        over = self.crossed[ahead]
        risen = max(up, 0)
        if (over or up > 0) and risen < self.span and not self.upper[ahead]:
            price = STEP + (STEP if up <= 0 else 0) + (STEP if over else 0)
            found.append(((ahead, heading, risen + 1), price))
        return found


def _trace(state: State, before: dict[State, State]) -> tuple[State, ...]:
    """The way to `state`."""
    way = [state]
    while state in before:
        state = before[state]
        way.append(state)
    return tuple(reversed(way))


def path_cost(path: tuple[Cell, ...], ground: Ground) -> int:
    """The objective of a way: its cells, bridges, and belts of `ground` that it crosses."""
    bridges = sum(other.level > one.level for one, other in pairwise(path))
    crossings = sum(cell.level > 0 and cell.at_level(0) in ground.belts for cell in path)
    return len(path) + bridges + crossings
