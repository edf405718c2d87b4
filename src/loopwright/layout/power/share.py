"""Which node hands power to which device, where nodes have a limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from fractions import Fraction

from loopwright.grid import Cell
from loopwright.layout.power.powered import Powered
from loopwright.layout.power.reach import Reach


@dataclass(frozen=True, slots=True)
class Share:
    """What each node hands on [kW], and the devices for which no node in reach has enough left."""

    load: Mapping[Cell, Fraction]
    short: tuple[Powered, ...]


def shared_power(
    devices: Sequence[Powered], nodes: Sequence[Cell], reach: Reach, supply: Fraction
) -> Share:
    """Each device takes its power from one node in reach: the one with most left.

    Devices with the fewest nodes in reach choose first, of those the hungriest. This is a
    heuristic: devices that come out short may be served by another assignment.
    """
    left = dict.fromkeys(nodes, supply)
    short = []
    for device, near in _by_choice(devices, nodes, reach):
        best = max(near, key=lambda cell: (left[cell], -cell.y, -cell.x))
        if left[best] >= device.power:
            left[best] -= device.power
        else:
            short.append(device)
    return Share({cell: supply - rest for cell, rest in left.items()}, tuple(short))


def _by_choice(
    devices: Sequence[Powered], nodes: Sequence[Cell], reach: Reach
) -> list[tuple[Powered, list[Cell]]]:
    standing = set(nodes)
    found = []
    for device in devices:
        box = device.box
        near = [
            cell
            for dx, dy in reach.steps_to(box.width, box.height)
            if (cell := Cell(box.x + dx, box.y + dy)) in standing
        ]
        if near:
            found.append((device, near))
    return sorted(found, key=lambda pair: (len(pair[1]), -pair[0].power, pair[0].name))


def with_supply(
    devices: Sequence[Powered],
    nodes: Sequence[Cell],
    free: Set[Cell],
    reach: Reach,
    supply: Fraction,
) -> tuple[Cell, ...]:
    """Cells for further nodes, until every device has a node in reach with enough power left.

    Each goes where it reaches most of the power that is short. Devices that draw more than a node
    has, or beside which there is no cell left, stay short.
    """
    more: list[Cell] = []
    while True:
        short = shared_power(devices, [*nodes, *more], reach, supply).short
        wanted: dict[Cell, Fraction] = {}
        for device in short:
            box = device.box
            for dx, dy in reach.steps_to(box.width, box.height):
                cell = Cell(box.x + dx, box.y + dy)
                if device.power <= supply and cell in free and cell not in more:
                    wanted[cell] = wanted.get(cell, Fraction(0)) + device.power
        wanted = {cell: power for cell, power in wanted.items() if cell not in set(nodes)}
        if not wanted:
            return tuple(more)
        more.append(max(wanted, key=lambda cell: (min(wanted[cell], supply), -cell.y, -cell.x)))
