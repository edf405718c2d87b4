"""The fewest cells for a covering, and how few there can be at all."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from loopwright.grid import Cell
from loopwright.layout.power.covering import Covering, part_of, pieces, reduced
from loopwright.layout.power.solver import shared_bound, solve_whole

MOST_WHOLE = 2_500
"""Pairs of cell and device up to which a covering is given to the solver as a whole."""

MOST_SHARED = 400_000
"""Pairs of cell and device up to which shares of cells are worked out for the bound."""

WINDOWS = (24, 30, 36, 30)
"""Sides of the squares that are solved anew, one after the other, round by round [cells]."""

WINDOW_NODES = 60
"""Branches looked into for one such square."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Chosen cells, and `bound`: no choice has fewer. Equal numbers: proven the fewest."""

    cells: tuple[Cell, ...]
    bound: int

    @property
    def proven(self) -> bool:
        """Whether no choice can have fewer cells."""
        return len(self.cells) == self.bound


def choose_cells(covering: Covering) -> Choice:
    """Few cells that reach all devices of `covering`.

    What is left after reduction falls into pieces. Small ones are solved as a whole; large ones
    greedily and then better and better square by square, with a bound from shares of cells, or
    from devices far apart.
    """
    cells: list[Cell] = []
    bound = 0
    for piece in pieces(reduced(covering)):
        choice = _solved(piece)
        cells += choice.cells
        bound += choice.bound
    return Choice(tuple(sorted(cells, key=lambda cell: (cell.y, cell.x))), bound)


def _solved(piece: Covering) -> Choice:
    if len(piece.cells) == 1:
        return Choice(piece.cells, 1)
    chosen, bound = greedy_choice(piece), apart(piece)
    entries = sum(map(len, piece.reaches))
    if bound < len(chosen) and entries <= MOST_SHARED:
        bound = max(bound, shared_bound(piece))
    if bound < len(chosen) and entries <= MOST_WHOLE:
        answer = solve_whole(piece)
        bound = max(bound, answer.bound)
        if answer.chosen is not None and _covers(piece, answer.chosen):
            chosen = min(chosen, answer.chosen, key=len)
    if bound < len(chosen):
        chosen = improved(piece, chosen)
    return _choice(piece, chosen, bound)


def _choice(piece: Covering, chosen: tuple[int, ...], bound: int) -> Choice:
    return Choice(tuple(piece.cells[number] for number in chosen), bound)


def _covers(covering: Covering, chosen: tuple[int, ...]) -> bool:
    """Whether these cells reach all devices, counted over without the solver."""
    reached: set[int] = set()
    for number in chosen:
        reached |= covering.reaches[number]
    return reached == covering.devices


def greedy_choice(covering: Covering) -> tuple[int, ...]:
    """Cell by cell the one that reaches most of what is not reached yet; the first of equals."""
    left = set(covering.devices)
    queue = [(-len(devices), number) for number, devices in enumerate(covering.reaches)]
    heapify(queue)
    chosen = []
    while left:
        count, number = heappop(queue)
        new = len(covering.reaches[number] & left)
        if new == -count:
            chosen.append(number)
            left -= covering.reaches[number]
        elif new:
            heappush(queue, (-new, number))
    return tuple(chosen)


def apart(covering: Covering) -> int:
    """Devices of which no two are reached from one cell: each needs a node of its own."""
    found_from: dict[int, list[int]] = {device: [] for device in covering.devices}
    for number, devices in enumerate(covering.reaches):
        for device in devices:
            found_from[device].append(number)
    used: set[int] = set()
    count = 0
    for device in sorted(found_from, key=lambda device: (len(found_from[device]), device)):
        if used.isdisjoint(found_from[device]):
            used.update(found_from[device])
            count += 1
    return count


def improved(covering: Covering, chosen: tuple[int, ...]) -> tuple[int, ...]:
    """`chosen` with fewer cells where squares of the site, solved anew, need fewer."""
    kept = set(chosen)
    for turn, side in enumerate(WINDOWS):
        squares: dict[tuple[int, int], list[int]] = {}
        off = side // 2 * (turn % 2)
        for number in sorted(kept):
            cell = covering.cells[number]
            squares.setdefault(((cell.y + off) // side, (cell.x + off) // side), []).append(number)
        for _, inside in sorted(squares.items()):
            kept = _renewed(covering, kept, set(inside) & kept)
    return tuple(sorted(kept))


def _renewed(covering: Covering, kept: set[int], inside: set[int]) -> set[int]:
    """`kept` with the cells `inside` replaced by the fewest that do their work."""
    needed = set().union(*(covering.reaches[number] for number in inside))
    if not needed:
        return kept
    outside = kept - inside
    near = [number for number in outside if not needed.isdisjoint(covering.reaches[number])]
    needed -= set().union(*(covering.reaches[number] for number in near))
    if not needed:
        return outside
    numbers = [n for n, devices in enumerate(covering.reaches) if not needed.isdisjoint(devices)]
    part = part_of(covering, numbers)
    work = Covering(part.cells, tuple(devices & needed for devices in part.reaches))
    found: set[int] = set()
    by_cell = dict(zip(part.cells, numbers, strict=True))
    for piece in pieces(reduced(work)):
        if len(piece.cells) == 1:
            found.add(by_cell[piece.cells[0]])
            continue
        answer = solve_whole(piece, WINDOW_NODES)
        if answer.chosen is None or not _covers(piece, answer.chosen):
            return kept
        found |= {by_cell[piece.cells[number]] for number in answer.chosen}
    return outside | found if len(found) <= len(inside) else kept
