"""Trunks drawn: whole belts from docks, split on their way past the heads of the rows.

At each row a divert passes carriers to the row's line first and the others on (overflow). Where a
row is served by two docks, what the first leaves over goes first (priority). So no dock stands
while a row that it serves is short: see the theory page for the proof.
"""

from __future__ import annotations

from itertools import groupby

from loopwright.block.block import Block
from loopwright.grid import Box, Cell
from loopwright.layout.draft import Draft
from loopwright.layout.drained import DRAINED
from loopwright.layout.layout import Belt, Divert, Merge, Source
from loopwright.layout.parts import Parts
from loopwright.layout.route.bridge import lift_path
from loopwright.layout.route.channel import PITCH
from loopwright.layout.supply.channel import Trunk, TrunkPlan, plan_trunks
from loopwright.layout.supply.detour import go_round
from loopwright.layout.supply.dock import demand_of, dock_yard, total
from loopwright.layout.supply.entry import Entry, heads
from loopwright.layout.supply.line import Fan
from loopwright.model import Project


def plan_columns(
    entries: list[Entry], block: Block, parts: Parts, project: Project
) -> list[TrunkPlan]:
    """A plan for each column of rows; a dock serves one column only.

    Raises
    ------
    DesignError
        LW425: there is no room for the lines, or the project's docks do not go round.
    """
    yard = dock_yard(block, parts, project)
    columns = groupby(sorted(heads(entries), key=_column), key=_column)
    rows = [list(held) for _, held in columns]
    demands = [
        {
            material: [
                demand_of(entry, block, parts)
                for head in held
                for entry in head
                if entry.material == material
            ]
            for material in parts.inputs
        }
        for held in rows
    ]
    whole = {m: total(total(own[m]) for own in demands) for m in parts.inputs}
    if block.architecture == "loop" and block.gate == DRAINED:
        yard.belts |= whole  # more than the plan counts: some of it is drained
    return [
        plan_trunks(held, own, {m: yard.take(m, total(own[m]) / whole[m]) for m in parts.inputs})
        for held, own in zip(rows, demands, strict=True)
    ]


def _column(head: list[Entry]) -> int:
    return head[0].at.x


def trunk_width(entries: list[Entry], block: Block, parts: Parts, project: Project) -> int:
    """Cells that docks, trunks and fans take west of the entries' own docks."""
    return max(plan.width for plan in plan_columns(entries, block, parts, project))


def draw_trunks(
    draft: Draft, entries: list[Entry], block: Block, parts: Parts, project: Project, west: int
) -> None:
    """Replace the docks of `entries` by trunks whose docks stand `west` cells further west."""
    gone = {entry.dock.name for entry in entries}
    draft.devices = [device for device in draft.devices if device.name not in gone]
    span = project.equipment.junctions.bridge.span
    obstacles = [Box(o.x, o.y, o.width, o.height) for o in project.site.obstacles]
    site = Box(0, 0, project.site.width, project.site.height)
    names: dict[str, int] = {}
    for plan in plan_columns(entries, block, parts, project):
        pen = Pen(draft, plan, parts, span, west, names)
        pen.draw()
        go_round(draft, pen.running, obstacles, site, span)


class Pen:
    """Draws one plan; `names` counts the docks of each material over all plans.

    `west` [cells] lie between its docks and those of the entries.
    """

    def __init__(
        self,
        draft: Draft,
        plan: TrunkPlan,
        parts: Parts,
        span: int,
        west: int,
        names: dict[str, int],
    ) -> None:
        self.draft, self.plan, self.parts, self.span = draft, plan, parts, span
        self.dock_x = plan.fans[0].entry.at.x - west
        self.base = dict(names)
        for trunk in plan.trunks:
            names[trunk.material] = names.get(trunk.material, 0) + 1
        self.ends: dict[str, dict[int, str]] = {}
        self.running: list[str] = []
        self.floor = {
            Cell(self.column(trunk.track), y): trunk
            for trunk in plan.trunks
            if trunk.track is not None
            for y in range(trunk.first, trunk.last + 1)
        }

    def column(self, track: int) -> int:
        """The x of a track."""
        return self.dock_x + 2 + PITCH * track

    def draw(self) -> None:
        """All trunks, then the merges where several meet."""
        for trunk in self.plan.trunks:
            self._trunk(trunk)
        for fan in self.plan.fans:
            if fan.shared or fan.entry.belt.role == "lane":
                self._join(fan)

    def _trunk(self, trunk: Trunk) -> None:
        name = f"{trunk.material} trunk {self.base.get(trunk.material, 0) + trunk.number}"
        entry = trunk.taps[0][1].entry
        start = Cell(self.dock_x, trunk.first)
        tails = [f"{name}.{number}" for number in range(1, len(trunk.taps))]
        tails.append(self._branch(trunk.taps[-1][1], trunk))
        rate = None if trunk.rate >= 1 else trunk.rate * self.parts.lane_speed
        self.draft.add(
            Source(
                f"{name.replace('trunk', 'dock')}",
                start,
                tails[0],
                entry.material,
                self.parts.loads[entry.material],
                rate,
            )
        )
        if trunk.track is None:
            y, fan = trunk.taps[0]
            self._line(fan, trunk, y, self._cells_east(start.x + 1, y, fan))
            return
        x = self.column(trunk.track)
        way = tuple(Cell(column, trunk.first) for column in range(start.x + 1, x + 1))
        for number, (y, fan) in enumerate(trunk.taps):
            if number + 1 == len(trunk.taps):
                self._line(fan, trunk, y, (*way[:-1], *self._cells_east(x, y, fan)))
                self.running.append(tails[-1])
                return
            self._belt(tails[number], way, trunk, "supply")
            if number:
                self.running.append(tails[number])
            branch = self._line(fan, trunk, y, self._cells_east(x + 1, y, fan))
            self.draft.add(
                Divert(
                    f"{name} to {fan.entry.row}",
                    Cell(x, y),
                    tails[number],
                    (branch, tails[number + 1]),
                    "overflow",
                )
            )
            after = trunk.taps[number + 1][0]
            way = tuple(Cell(x, row) for row in range(y + 1, after + 1))

    def _cells_east(self, x: int, y: int, fan: Fan) -> tuple[Cell, ...]:
        """A line from column `x` on, as far as it goes by itself."""
        return fan.way_to_join(x, y) if fan.shared else fan.way_in(x)

    def _branch(self, fan: Fan, trunk: Trunk) -> str:
        row, material = fan.entry.row, trunk.material
        return (
            f"{row} branch {material} {trunk.number}" if fan.shared else f"{row} supply {material}"
        )

    def _line(self, fan: Fan, trunk: Trunk, y: int, cells: tuple[Cell, ...]) -> str:
        """The belt of one line; it goes on as the entry's supply belt where it is the only one."""
        name = self._branch(fan, trunk)
        alone = not fan.shared and fan.entry.belt.role == "supply"
        if alone:
            self.draft.devices.remove(fan.entry.belt)
            cells = (*cells, *fan.entry.belt.path)
        self._belt(name, cells, trunk, "supply")
        self.ends.setdefault(f"{fan.entry.row} {fan.entry.material}", {})[trunk.number] = name
        return name

    def _belt(self, name: str, cells: tuple[Cell, ...], trunk: Trunk, role: str) -> None:
        others = {cell for cell, other in self.floor.items() if other is not trunk}
        path = lift_path(name, cells, others, (), self.span)
        self.draft.add(Belt(name, path, self.parts.lane_speed, role))

    def _join(self, fan: Fan) -> None:
        """The lines of an entry meet, that of the first dock first."""
        entry, belt = fan.entry, fan.entry.belt
        found = self.ends[f"{entry.row} {entry.material}"]
        inlets = tuple(found[number] for number in sorted(found))
        outlet = belt
        if fan.shared and belt.role == "supply":
            self.draft.devices.remove(belt)
            outlet = Belt(belt.name, (*fan.way_in(fan.join), *belt.path), belt.speed, "supply")
            self.draft.add(outlet)
        elif fan.shared:
            outlet = Belt(f"{entry.row} supply {entry.material}", fan.way_in(fan.join),
                          belt.speed, "supply")  # fmt: skip
            self.draft.add(outlet)
            self.draft.add(_merge(f"{entry.row} entry {entry.material}", (outlet.name,), belt))
        name = f"{entry.row} {'join' if fan.shared else 'entry'} {entry.material}"
        self.draft.add(_merge(name, inlets, outlet))


def _merge(name: str, inlets: tuple[str, ...], outlet: Belt) -> Merge:
    return Merge(name, outlet.path[0], inlets, outlet.name, "priority")
