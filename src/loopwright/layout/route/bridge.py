"""Bridges: where a belt on its way rises over what stands on the floor."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from loopwright.finding import DesignError, Finding, new_finding
from loopwright.grid import Cell
from loopwright.grid.path import heading_between


def lift_path(
    name: str, path: Sequence[Cell], floor: Collection[Cell], upper: Collection[Cell], span: int
) -> tuple[Cell, ...]:
    """`path` raised by bridges over the cells of `floor`; what is up already stays up.

    With the fewest bridges: each goes on over free cells as long as that takes it over more and
    stays within `span` [cells]. `upper` are the cells, given on level 1, where bridges stand.

    Raises
    ------
    DesignError
        LW421: more cells side by side than a bridge spans. LW422: an end of the path, a turn
        beside a ramp or another bridge is in the way.
    """
    bridges: list[tuple[int, int]] = []
    for first, last in _groups(path, floor):
        if last - first + 1 > span:
            raise DesignError((_too_long(name, path[first], last - first + 1, span),))
        joined = bridges and (bridges[-1][0], last)
        if joined and last - joined[0] + 1 <= span and _clear(path, joined, upper):
            bridges[-1] = joined
        else:
            bridges.append((first, last))
    for bridge in bridges:
        if not _clear(path, bridge, upper):
            raise DesignError((_blocked(name, path[bridge[0]]),))
    raised = {index for first, last in bridges for index in range(first, last + 1)}
    return tuple(cell.at_level(1 if index in raised else 0) for index, cell in enumerate(path))


def _groups(path: Sequence[Cell], floor: Collection[Cell]) -> list[tuple[int, int]]:
    """First and last index of each stretch of `path` that lies on cells of `floor`, or is up."""
    groups: list[tuple[int, int]] = []
    for index, cell in enumerate(path):
        if cell.level == 0 and cell not in floor:
            continue
        if groups and groups[-1][1] == index - 1:
            groups[-1] = (groups[-1][0], index)
        else:
            groups.append((index, index))
    return groups


def _clear(path: Sequence[Cell], bridge: tuple[int, int], upper: Collection[Cell]) -> bool:
    """Whether a bridge may stand there: floor before and after it, straight, and nothing above."""
    first, last = bridge
    if first == 0 or last == len(path) - 1:
        return False
    stretch = [cell.at_level(0) for cell in path[first - 1 : last + 2]]
    ways = {heading_between(one, other) for one, other in pairwise(stretch)}
    return len(ways) == 1 and not any(cell.at_level(1) in upper for cell in path[first : last + 1])


def bridges_of(path: Sequence[Cell]) -> list[tuple[int, int]]:
    """First and last index of each stretch of a belt's path above the floor."""
    found: list[tuple[int, int]] = []
    for index, cell in enumerate(path):
        if cell.level and found and found[-1][1] == index - 1:
            found[-1] = (found[-1][0], index)
        elif cell.level:
            found.append((index, index))
    return found


def ramps_straight(path: Sequence[Cell]) -> bool:
    """Whether a belt runs straight wherever it rises or falls."""
    for index, (one, other) in enumerate(pairwise(path)):
        if one.level == other.level:
            continue
        near = [cell.at_level(0) for cell in path[max(0, index - 1) : index + 3]]
        if len({heading_between(a, b) for a, b in pairwise(near)}) > 1:
            return False
    return True


def _too_long(name: str, at: Cell, cells: int, span: int) -> Finding:
    return new_finding(
        "LW421",
        f"{name} would stay up over {cells} cells from {at.x},{at.y} on",
        value=f"{cells} cells",
        allowed=f"{span} cells by equipment.junctions.bridge.span",
    )


def _blocked(name: str, at: Cell) -> Finding:
    return new_finding("LW422", f"no way for {name}: no bridge can stand at {at.x},{at.y}")
