"""The ways of one belt to several places: a chain of diverts in line with it.

First each material that goes one way only is sorted out, then what is left is shared: each divert
fills its branch first and passes on what that does not take.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from loopwright.finding import DesignError, Place, new_finding
from loopwright.grid import Cell, Heading
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Divert, Drain, Merge

STEP = 2
"""Cells from one divert of a chain to the next."""


@dataclass(frozen=True, slots=True)
class Way:
    """Where one material of a belt goes to: on a belt called `to`, or into a drain for `purpose`
    where that is empty."""

    material: str
    to: str
    purpose: str = "product"


@dataclass(frozen=True, slots=True)
class Start:
    """The first cell of the belt called `to`, which is still to be laid."""

    to: str
    cell: Cell


def chain_length(ways: int) -> int:
    """Cells that a chain of that many ways takes beyond the end of its belt, drain included."""
    return STEP * ways + 1


def order_ways(belt: str, ways: Sequence[Way]) -> list[Way]:
    """`ways` in the order in which a chain serves them.

    Raises
    ------
    DesignError
        LW428: two materials of one belt both go several ways.
    """
    several = {way.material for way in ways if sum(w.material == way.material for w in ways) > 1}
    if len(several) > 1:
        names = " and ".join(sorted(several))
        message = f"{names} leave on one belt, and both go to several places"
        raise DesignError((new_finding("LW428", message, Place(device=belt)),))
    return sorted(ways, key=lambda way: (way.material in several, not way.to))


def draw_ways(
    draft: Draft, belt: Belt, heading: Heading, ways: Sequence[Way], sides: Sequence[Heading]
) -> list[Start]:
    """Draw the chain that leads `belt` on along `heading` to all `ways`, given in their order, with
    branches to `sides` in turn; the starts of the belts that go on from there."""
    starts: list[Start] = []
    for number, way in enumerate(ways[:-1], start=1):
        at = belt.path[-1].step(heading)
        draft.devices.remove(belt)
        belt = replace(belt, path=(*belt.path, at))
        draft.add(belt)
        side = sides[number % len(sides)]
        branch = way.to or f"{belt.name} {way.material}"
        onward = _onward(belt, number, at.step(heading))
        rest = ways[number:]
        sorting = any(other.material != way.material for other in rest)
        if number + 1 == len(ways) and rest[0].to:
            onward = replace(onward, name=rest[0].to)
        draft.add(
            Divert(
                f"{belt.name} divert",
                at,
                belt.name,
                (branch, onward.name),
                "material" if sorting else "overflow",
                ((way.material, branch),) if sorting else (),
            )
        )
        first = at.step(side)
        if way.to:
            starts.append(Start(way.to, first))
        else:
            _drain(draft, Belt(branch, (first,), belt.speed, "output"), side, way)
        if number + 1 < len(ways):
            draft.add(onward)
            belt = onward
        elif rest[0].to:
            starts.append(Start(rest[0].to, onward.path[0]))
        else:
            _drain(draft, onward, heading, rest[0])
    if len(ways) == 1:
        starts += _one_way(draft, belt, heading, ways[0])
    return starts


def _onward(belt: Belt, number: int, first: Cell) -> Belt:
    stem = belt.name if number == 1 else belt.name.rpartition(".")[0]
    return Belt(f"{stem}.{number + 1}", (first,), belt.speed, belt.role)


def _one_way(draft: Draft, belt: Belt, heading: Heading, way: Way) -> list[Start]:
    if not way.to:
        at = belt.path[-1].step(heading)
        draft.add(Drain(f"{belt.name} dock", at, belt.name, way.purpose))
        return []
    first = belt.path[-1].step(heading)
    draft.add(Merge(f"{belt.name} joint", first, (belt.name,), way.to, "priority"))
    return [Start(way.to, first)]


def _drain(draft: Draft, belt: Belt, heading: Heading, way: Way) -> None:
    end = belt.path[-1].step(heading)
    belt = replace(belt, path=(*belt.path, end))
    draft.add(belt, Drain(f"{belt.name} dock", end.step(heading), belt.name, way.purpose))
