"""Docks at given places where products, and what is spare, leave the site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.grid import Cell, Heading
from loopwright.grid.path import run_of
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Drain
from loopwright.layout.section.flow import FromOutlet, Line, ToDock
from loopwright.layout.section.outline import Wing
from loopwright.layout.section.terminal import Terminal
from loopwright.layout.section.ways import Way
from loopwright.model import Project


@dataclass(frozen=True, slots=True)
class Exit:
    """The dock at which a line from the wing with index `wing` leaves; `way` leads to its belt."""

    dock: ToDock
    wing: int
    way: Way


def plan_exits(lines: Sequence[Line], project: Project) -> dict[int, Exit]:
    """The dock of each line that leaves at a given place, by index of the line. Docks of a material
    share its lines: the first lines go to the first, and so on.

    Raises
    ------
    DesignError
        LW438: nothing leaves at one of the docks.
    """
    found: dict[int, Exit] = {}
    given = list(enumerate(project.site.outgoing))
    for material in dict.fromkeys(dock.material for _, dock in given):
        docks = [(index, dock) for index, dock in given if dock.material == material]
        own = [
            (number, line)
            for number, line in enumerate(lines)
            if line.material == material and line.wing is None
        ]
        counts = dict.fromkeys((index for index, _ in docks), 0)
        for place, (number, line) in enumerate(own):
            index, dock = docks[place * len(docks) // len(own)]
            assert isinstance(line.supply, FromOutlet)
            way = Way(material, f"{material} leaving {place + 1}", line.purpose)
            found[number] = Exit(ToDock(dock, index, counts[index]), line.supply.wing, way)
            counts[index] += 1
        idle = [index for index, count in counts.items() if not count]
        if idle:
            raise DesignError(tuple(_idle(material, len(own), index) for index in idle))
    return found


def _idle(material: str, belts: int, index: int) -> Finding:
    count = "no belt" if not belts else "1 belt" if belts == 1 else f"{belts} belts"
    return new_finding(
        "LW438",
        f"{count} of {material} leaves the site, so this dock has nothing to take",
        Place(path=f"site.outgoing[{index + 1}]"),
        value=material,
    )


def draw_exit(
    draft: Draft, terminal: Terminal, wings: Sequence[Wing], leaving: Exit
) -> tuple[Cell, Heading]:
    """The dock and the belt to it; the cell before that belt, and the heading there."""
    inward = terminal.heading
    stub = run_of(terminal.at.step(inward), inward, terminal.stub)
    name, speed = leaving.way.to, wings[leaving.wing].parts.output_speed
    belt = Belt(name, tuple(reversed(stub)), speed, "output")
    draft.add(belt, Drain(f"{name} dock", terminal.at, name, leaving.way.purpose))
    return stub[-1].step(inward), inward.reverse
