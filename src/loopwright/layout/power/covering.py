"""Which cells reach which devices, and what of it matters.

A covering asks for the fewest cells so that each device is reached from one of them at least. What
cannot matter is taken out first: a cell that reaches no more than another one does, and a device
that is reached from every cell from which another one is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

from loopwright.grid import Box, Cell
from loopwright.layout.power.reach import Reach


@dataclass(frozen=True, slots=True)
class Covering:
    """`reaches[c]` are the devices, by number, that the cell `cells[c]` reaches."""

    cells: tuple[Cell, ...]
    reaches: tuple[frozenset[int], ...]

    @property
    def devices(self) -> frozenset[int]:
        """All devices that some cell reaches."""
        return frozenset().union(*self.reaches)


def covering_of(boxes: Sequence[Box], free: Set[Cell], reach: Reach) -> Covering:
    """All cells of `free` from which some device, standing on a box of `boxes`, is reached."""
    found: dict[tuple[int, int, int], set[int]] = defaultdict(set)
    steps: dict[tuple[int, int], tuple[tuple[int, int], ...]] = {}
    for number, (x, y, width, height) in enumerate(boxes):
        size = (width, height)
        if size not in steps:
            steps[size] = tuple(reach.steps_to(width, height))
        for dx, dy in steps[size]:
            spot = (x + dx, y + dy, 0)
            if spot in free:
                found[spot].add(number)
    spots = sorted(found, key=lambda spot: (spot[1], spot[0]))
    return Covering(
        tuple(Cell(*spot) for spot in spots), tuple(frozenset(found[spot]) for spot in spots)
    )


def reduced(covering: Covering) -> Covering:
    """`covering` without what cannot matter, until nothing more goes out."""
    reaches: dict[int, frozenset[int]] = dict(enumerate(covering.reaches))
    while True:
        before = (len(reaches), len(set().union(*reaches.values())))
        reaches = _greatest(reaches)
        found_from = _turned(reaches)
        kept = _least(found_from)
        reaches = {cell: devices & kept for cell, devices in reaches.items()}
        reaches = {cell: devices for cell, devices in reaches.items() if devices}
        if (len(reaches), len(kept)) == before:
            break
    order = sorted(reaches)
    return Covering(
        tuple(covering.cells[number] for number in order),
        tuple(reaches[number] for number in order),
    )


def _turned(sets: Mapping[int, Set[int]]) -> dict[int, set[int]]:
    """For each member the numbers of the sets that hold it."""
    found: dict[int, set[int]] = defaultdict(set)
    for number, members in sets.items():
        for member in members:
            found[member].add(number)
    return found


def _greatest(reaches: Mapping[int, frozenset[int]]) -> dict[int, frozenset[int]]:
    """The sets that are part of no other; of equal ones the first."""
    holders = _turned(reaches)
    return {
        number: members
        for number, members in reaches.items()
        if not _is_part(number, _common(members, holders), reaches)
    }


def _is_part(number: int, rivals: Set[int], sets: Mapping[int, Set[int]]) -> bool:
    """Whether another of `rivals`, all of which hold the set of that number, goes before it."""
    size = len(sets[number])
    return any(rival != number and (len(sets[rival]) > size or rival < number) for rival in rivals)


def _common(members: Iterable[int], holders: Mapping[int, Set[int]]) -> Set[int]:
    """The numbers of the sets that hold all of `members`."""
    ordered = sorted((holders[member] for member in members), key=len)
    found = ordered[0]
    for other in ordered[1:]:
        if len(found) == 1:
            break
        found = found & other
    return found


def _least(found_from: Mapping[int, Set[int]]) -> frozenset[int]:
    """The devices whose cells hold the cells of no other device; of equal ones the first."""
    reached = _turned(found_from)
    kept = set(found_from)
    for device, cells in found_from.items():
        if device not in kept:
            continue
        wider = _common(cells, reached)
        kept -= {other for other in wider if other != device}
    return frozenset(kept)


def pieces(covering: Covering) -> Iterator[Covering]:
    """Parts of `covering` that share no device: each can be solved by itself."""
    leader: dict[int, int] = {}

    def find(device: int) -> int:
        while leader.setdefault(device, device) != device:
            leader[device] = leader[leader[device]]
            device = leader[device]
        return device

    for devices in covering.reaches:
        first, *rest = sorted(devices)
        for other in rest:
            one, two = sorted((find(first), find(other)))
            leader[two] = one
    parts: dict[int, list[int]] = defaultdict(list)
    for number, devices in enumerate(covering.reaches):
        parts[find(min(devices))].append(number)
    for numbers in parts.values():
        yield part_of(covering, numbers)


def part_of(covering: Covering, numbers: Iterable[int]) -> Covering:
    """The cells with these numbers only."""
    chosen = tuple(numbers)
    return Covering(
        tuple(covering.cells[number] for number in chosen),
        tuple(covering.reaches[number] for number in chosen),
    )
