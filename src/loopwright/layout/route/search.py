"""The cheapest way of one belt over the grid: A* over cells, headings and bridges."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise

from loopwright.grid import Cell, Heading
from loopwright.layout.route.ground import Ground

STEP = 1000
"""Cost of a cell, of a bridge and of a crossing: the objective counts them alike."""

TURN = 1
"""Cost of a turn: of ways with the same objective the straightest."""

Extra = Callable[[Cell], int]
FALLEN = -1

State = tuple[Cell, Heading, int]
"""Where a belt has come to: cell, heading, and cells that it has been up; `FALLEN` just after."""


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
    ways = [net.leave] if net.leave else list(Heading)
    best: dict[State, int] = {}
    before: dict[State, State] = {}
    queue: list[tuple[int, int, int, State]] = []
    number = 0
    for way in ways:
        state = (net.start, way, 0)
        best[state] = STEP
        heappush(queue, (_least(net.start, net.goal), STEP, number, state))
        number += 1
    while queue:
        _, cost, _, state = heappop(queue)
        if cost > best[state]:
            continue
        cell, heading, _ = state
        if cell == net.goal and net.arrive in (None, heading):
            return _trace(state, before)
        for after, price in _moves(ground, net, state):
            paid = cost + price + (extra(after[0]) if extra else 0)
            if paid < best.get(after, paid + 1):
                best[after], before[after] = paid, state
                heappush(queue, (paid + _least(after[0], net.goal), paid, number, after))
                number += 1
    return None


def _moves(ground: Ground, net: Net, state: State) -> Iterator[tuple[State, int]]:
    """States after one more cell, with what it costs."""
    cell, heading, up = state
    ahead = cell.step(heading)
    bound = up or (cell == net.start and net.leave is not None)
    if up <= 0:
        for way in (heading,) if bound else (heading, heading.left, heading.right):
            after = cell.step(way)
            if ground.free(after):
                yield (after, way, 0), STEP + (TURN if way is not heading else 0)
    elif ground.free(ahead.at_level(0)):
        yield (ahead.at_level(0), heading, FALLEN), STEP
    above = ahead.at_level(1)
    if max(up, 0) < ground.span and ground.free(above):
        crossing = STEP if ahead.at_level(0) in ground.belts else 0
        bridge = STEP if up <= 0 else 0
        yield (above, heading, max(up, 0) + 1), STEP + bridge + crossing


def _least(cell: Cell, goal: Cell) -> int:
    return STEP * (abs(cell.x - goal.x) + abs(cell.y - goal.y))


def _trace(state: State, before: dict[State, State]) -> tuple[Cell, ...] | None:
    """The way to `state`; None where it comes twice to one cell, which no belt can."""
    path = [state[0]]
    while state in before:
        state = before[state]
        path.append(state[0])
    return tuple(reversed(path)) if len(set(path)) == len(path) else None


def path_cost(path: tuple[Cell, ...], ground: Ground) -> int:
    """The objective of a way: its cells, bridges, and belts of `ground` that it crosses."""
    bridges = sum(other.level > one.level for one, other in pairwise(path))
    crossings = sum(cell.level > 0 and cell.at_level(0) in ground.belts for cell in path)
    return len(path) + bridges + crossings
