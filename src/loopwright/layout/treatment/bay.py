"""A bay: all lines of supply of a wing pass under applicators, which an agent line feeds.

Lines run from west to east, two and two on both sides of a stretch of the agent line:

    line, applicators, pickers, agent line, pickers, applicators, line

The agent line goes out along the first stretch, rises over the lines that are in its way, comes
back along the second, and so on. East of the applicators the lines move together to the rows of
cells in which the trunks of the wing begin. All that a wing takes passes its bay, so all belts from
there on carry marked carriers only, also the return of a loop.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from loopwright.exact import format_rate
from loopwright.finding import DesignError, Place, new_finding
from loopwright.grid import Cell, Heading
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Applicator, Belt, Merge, Picker, Port, Source
from loopwright.layout.route.bridge import lift_path
from loopwright.layout.section.outline import Wing, agent_belt
from loopwright.layout.section.turn import Spot
from loopwright.layout.section.wing import Channel
from loopwright.layout.treatment.dosing import Dosing
from loopwright.model import Project

PITCH = 8
"""Cells from one stretch of the agent line to the next."""

FIRST = 3
"""The column of the first applicator: dock, end of the line, and a turn of the agent line."""

MOST_INLETS = 3
"""Lines that can bring agent to one bay: inlets of a merge."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line through a bay: it leads to where `dock` would stand, with `count` applicators on the
    side `side`, along row `y` up to column `turn`."""

    dock: Source
    count: int
    y: int
    side: Heading
    turn: int

    @property
    def number(self) -> str:
        """The number of its dock among those of the material."""
        return self.dock.name.rpartition(" ")[2]

    @property
    def columns(self) -> range:
        """The columns of its applicators."""
        return range(FIRST, FIRST + self.count)

    def way(self) -> list[Cell]:
        """Its cells from where applicators may stand to where the dock would."""
        end = self.dock.at
        along = [Cell(x, self.y) for x in range(FIRST - 1, self.turn + 1)]
        step = 1 if end.y > self.y else -1
        along += [Cell(self.turn, y) for y in range(self.y + step, end.y + step, step)]
        return along + [Cell(x, end.y) for x in range(self.turn + 1, end.x + 1)]


def with_bay(
    wing: Wing, channel: Channel, agents: int, project: Project, names: dict[str, int]
) -> Channel:
    """`channel`, the trunks of `wing` and its modules, with a bay before it.

    `agents` lines bring the agent; `names` counts the docks of each material on the whole site.

    Raises
    ------
    DesignError
        LW444: the wing spends more agent than one belt brings, or too many lines bring it.
    """
    treatment = project.equipment.treatments[wing.block.treatment]
    parts = wing.parts
    dosing = Dosing(treatment, parts, parts.arm(1), parts.carried[treatment.agent])
    _check_agent(wing, agents, treatment.agent)
    docks = sorted((d for held in channel.inlets.values() for d in held), key=lambda d: d.at.y)
    counts = [dosing.count(dock.material) for dock in docks]
    rows = [number // 2 * PITCH + number % 2 * 6 for number in range(len(docks))]
    shift = (sum(dock.at.y for dock in docks) - sum(rows)) // len(docks)
    rows = [row + max(0, shift) for row in rows]
    east = FIRST + max(counts)
    moved = Spot(Cell(east + 1 + len(docks), max(0, -shift)), 0, mirrored=False)
    draft = Draft([moved.device(device) for device in channel.draft.devices])
    ends = [_moved(dock, moved) for dock in docks]
    turns = _turns(rows, [dock.at.y for dock in ends], east + 1)
    lines = [
        Line(dock, count, y, Heading.NORTH if number % 2 else Heading.SOUTH, turn)
        for number, (dock, count, y, turn) in enumerate(zip(ends, counts, rows, turns, strict=True))
    ]
    own = {line.dock.name: _draw_line(draft, line, dosing) for line in lines}
    brought: tuple[Source, ...] = ()
    if treatment.dose:
        belt = _agent_belt(lines, east, dosing, project, names)
        brought = _draw_entry(draft, belt, agents, dosing, names)
        _draw_pickers(draft, lines, belt, dosing)
    inlets = {m: tuple(own[dock.name] for dock in held) for m, held in channel.inlets.items()}
    return Channel(draft, inlets, brought)


def _moved(dock: Source, spot: Spot) -> Source:
    found = spot.device(dock)
    assert isinstance(found, Source)
    return found


def _turns(rows: Sequence[int], ends: Sequence[int], first: int) -> list[int]:
    """The column, from `first` on, in which each line turns to its end, so that no two cross: of
    lines that move south the southernmost turns first, of those that move north the northernmost.
    """
    turns = [first] * len(rows)
    south = [number for number in range(len(rows)) if ends[number] > rows[number]]
    north = [number for number in range(len(rows)) if ends[number] < rows[number]]
    for order in (reversed(south), north):
        for rank, number in enumerate(order):
            turns[number] = first + rank
    return turns


def _draw_line(draft: Draft, line: Line, dosing: Dosing) -> Source:
    """The line from its end in the west to the wing's own belt, with applicators beside it; the
    dock that it would begin at."""
    material, treatment, speed = line.dock.material, dosing.treatment, dosing.parts.lane_speed
    path = tuple(line.way())
    end = Belt(f"{material} line {line.number}", (path[0].step(Heading.WEST),), speed, "supply")
    belt = Belt(f"{material} bay {line.number}", path, speed, "supply")
    onward = line.dock.at.step(Heading.EAST)
    draft.add(
        end,
        belt,
        Merge(f"{belt.name} entry", path[0], (end.name,), belt.name, "priority"),
        Merge(f"{belt.name} joint", onward, (belt.name,), line.dock.belt, "priority"),
    )
    for number, x in enumerate(line.columns, start=1):
        draft.add(
            Applicator(
                _applicator(line, number),
                Cell(x, line.y).step(line.side),
                belt.name,
                x - path[0].x,
                treatment.agent,
                dosing.cap(material),
                (material,),
                treatment.dose,
                rate=treatment.rate,
                power=treatment.power,
            )
        )
    at = end.path[0].step(Heading.WEST)
    return Source(line.dock.name, at, end.name, material, line.dock.load)


def _applicator(line: Line, number: int) -> str:
    return f"{line.dock.material} applicator {line.number}.{number}"


def _agent_belt(
    lines: Sequence[Line], east: int, dosing: Dosing, project: Project, names: dict[str, int]
) -> Belt:
    """The agent line along all stretches, out and back, up to its last picker."""
    agent = dosing.treatment.agent
    rows = [line.y + 3 for line in lines if line.side is Heading.SOUTH]
    cells = [Cell(x, rows[0]) for x in range(FIRST - 1, east + 1)]
    for number, (above, row) in enumerate(pairwise(rows), start=1):
        turn = cells[-1].x
        cells += [Cell(turn, y) for y in range(above + 1, row + 1)]
        back, out = range(east - 1, FIRST - 2, -1), range(FIRST, east + 1)
        cells += [Cell(x, row) for x in (back if number % 2 else out)]
    taken = [cells.index(_over(line, x, 3)) for line in lines for x in line.columns]
    floor = {Cell(x, line.y) for line in lines for x in range(1, east + 1)}
    name = f"{agent} agent line {names.get(agent, 0) + 1}"
    span = project.equipment.junctions.bridge.span
    path = lift_path(name, cells[: max(taken) + 1], floor, (), span)
    return Belt(name, path, dosing.parts.lane_speed, "supply")


def _over(line: Line, x: int, steps: int) -> Cell:
    """The cell that many steps from the line, in column `x`."""
    return Cell(x, line.y).step(line.side, steps)


def _draw_entry(
    draft: Draft, belt: Belt, agents: int, dosing: Dosing, names: dict[str, int]
) -> tuple[Source, ...]:
    """The ends of the lines that bring agent, side by side before `belt`; the docks of them."""
    agent = dosing.treatment.agent
    first = belt.path[0]
    docks, ends = [], []
    for shift in (0, -1, 1)[:agents]:
        names[agent] = number = names.get(agent, 0) + 1
        west = Cell(first.x - 1, first.y + shift)
        path = (west, west.step(Heading.EAST)) if shift else (west,)
        end = Belt(f"{agent} line {number}", path, belt.speed, "supply")
        ends.append(end)
        load = dosing.parts.loads[agent]
        at = west.step(Heading.WEST)
        docks.append(Source(f"{agent} dock {number}", at, end.name, agent, load))
    inlets = tuple(end.name for end in ends)
    draft.add(*ends, belt, Merge(f"{belt.name} entry", first, inlets, belt.name, "priority"))
    return tuple(docks)


def _draw_pickers(draft: Draft, lines: Sequence[Line], belt: Belt, dosing: Dosing) -> None:
    """A picker from the agent line to each applicator."""
    index_at = {cell: index for index, cell in enumerate(belt.path)}
    arm = dosing.arm
    for line in lines:
        for number, x in enumerate(line.columns, start=1):
            name = _applicator(line, number)
            draft.add(
                Picker(
                    f"{name} inlet",
                    _over(line, x, 2),
                    Port(belt.name, index_at[_over(line, x, 3)]),
                    Port(name),
                    line.side.reverse,
                    arm.swing,
                    arm.hand,
                    arm.habit,
                    arm.power,
                    arm.takes,
                )
            )


def _check_agent(wing: Wing, agents: int, agent: str) -> None:
    spent, most = wing.spends.get(agent, Fraction(0)), agent_belt(wing.parts, agent)
    process = wing.block.process
    if spent > most:
        finding = new_finding(
            "LW444",
            f"a module of rows of {process} spends more {agent} than one belt brings",
            Place(path=f"equipment.treatments.{wing.block.treatment}.dose"),
            value=format_rate(spent),
            allowed=f"at most {format_rate(most)}",
            remedy=f"use a larger stack of {agent}, a faster belt, shorter rows or `sides: single`",
        )
        raise DesignError((finding,))
    if agents > MOST_INLETS:
        finding = new_finding(
            "LW444",
            f"{agents} lines bring {agent} to one agent line of {process}",
            Place(path=f"equipment.treatments.{wing.block.treatment}.agent"),
            value=str(agents),
            allowed=f"at most {MOST_INLETS}",
            remedy=f"let fewer docks bring {agent}",
        )
        raise DesignError((finding,))
