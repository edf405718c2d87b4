"""All sections of a site, drawn, put down and joined, with a given gap between them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from loopwright.block.site import Section, Site
from loopwright.finding import DesignError, Finding, new_finding
from loopwright.grid import Box, Cell, Heading
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Source
from loopwright.layout.parts import Parts
from loopwright.layout.section.fit import Room, fit_in_order, turn_pieces
from loopwright.layout.section.flow import (
    FromDock,
    FromOutlet,
    Line,
    gather_lines,
    plan_lines,
    share_of,
)
from loopwright.layout.section.join import free_ground, join_belts
from loopwright.layout.section.leave import Exit, draw_exit, plan_exits
from loopwright.layout.section.outline import Wing, make_wings
from loopwright.layout.section.terminal import Terminal, draw_terminal, place_dock
from loopwright.layout.section.turn import Spot
from loopwright.layout.section.ways import Start, Way
from loopwright.layout.section.wing import Piece, draw_channel, draw_piece
from loopwright.layout.treatment.bay import with_bay
from loopwright.model import Project


@dataclass(frozen=True, slots=True)
class Pieces:
    """All wings drawn, with the lines between them; `inlets` gives the dock that each line would
    begin at, in the order of `lines`, None for those into drains and for those that end into the
    flank of another: `joins` names the belt of such a line and the one that it ends into. `exits`
    are the lines that leave at given places."""

    wings: tuple[Wing, ...]
    pieces: tuple[Piece, ...]
    lines: tuple[Line, ...]
    inlets: tuple[Source | None, ...]
    joins: Mapping[str, str]
    exits: tuple[Exit, ...]


FLOWS = {"east": (False,), "west": (True,), "auto": (False, True)}
"""Whether a wing may stand as it is drawn, flowing east, or mirrored."""


@dataclass(frozen=True, slots=True)
class Survey:
    """All wings drawn, and the room in which they are to stand: docks at given cells (`fixed`, and
    where things leave `ways_out`) stand already, those that only stand apart (`loose`) do not."""

    project: Project
    pieces: Pieces
    ground: _Ground
    room: Room
    fixed: tuple[Terminal, ...]
    loose: Mapping[FromDock, Sequence[Source]]
    ways_out: Mapping[Exit, Terminal]

    @property
    def ends(self) -> Mapping[str, Cell]:
        """Where the belts of docks at given places begin."""
        terminals = (*self.fixed, *self.ways_out.values())
        return {way.to: terminal.at for terminal in terminals for way in terminal.ways}

    def fit(self, order: str = "flow") -> list[Spot]:
        """Where the wings stand, put down in an order of `ORDERS`.

        Raises
        ------
        DesignError
            LW427: the site is too small.
        """
        found = self.pieces
        spots = fit_in_order(found.pieces, self.room, self.ends, found.joins, order)
        if len(spots) < len(found.pieces):
            raise DesignError((_too_small(found, len(spots), self.project, self.room.area),))
        return spots

    def turn(self, spots: list[Spot]) -> list[Spot]:
        """`spots`, or better ones with some wings the other way round."""
        found = self.pieces
        return turn_pieces(found.pieces, self.room, self.ends, found.joins, spots)


def survey(site: Site, parts: Sequence[Parts], project: Project, gap: int, edge: int) -> Survey:
    """All wings of `site`, to stand `gap` cells apart and `edge` cells from the margin; `parts` are
    those of each section.

    Raises
    ------
    DesignError
        LW434: a dock cannot stand where it is to.
    """
    ground = _Ground.of(project, edge)
    found = _pieces(site, parts, project, ground.area.height)
    groups = _dock_lines(found)
    fixed = {dock: held for dock, held in groups.items() if dock.given.at}
    loose = {dock: held for dock, held in groups.items() if not dock.given.at}
    terminals = _terminals(fixed, ground, {})
    ways_out = _ways_out([one for one in found.exits if one.dock.given.at], ground, {})
    taken = (*ground.stones, *map(_box_of, (*terminals, *ways_out.values())))
    room = Room(ground.area, taken, gap, tuple(FLOWS[wing.flow] for wing in found.wings))
    return Survey(project, found, ground, room, tuple(terminals), loose, ways_out)


def assemble(plan: Survey, spots: Sequence[Spot]) -> Draft:
    """Everything but power, with the wings at `spots`.

    Raises
    ------
    DesignError
        A belt finds no way, or a dock cannot stand where it is to.
    """
    found, project = plan.pieces, plan.project
    placed = list(zip(spots, found.pieces, strict=True))
    aims = {
        dock.belt: (spot.cell(dock.at), spot.heading(Heading.EAST))
        for spot, piece in placed
        for dock in piece.inlets
    }
    ground = replace(plan.ground, taken=set(plan.ground.taken))
    for spot, piece in placed:
        ground.taken.update(Box(*spot.corner[:2], piece.width, piece.height).cells())
    goals = {belt: cell for belt, (cell, _) in aims.items()}
    terminals = (*plan.fixed, *_terminals(plan.loose, ground, goals))
    draft = Draft()
    starts = _put_down(draft, found, spots)
    goals = {start.to: start.cell for start in starts}
    left = [one for one in found.exits if one not in plan.ways_out]
    for one, terminal in {**plan.ways_out, **_ways_out(left, ground, goals)}.items():
        aims[one.way.to] = draw_exit(draft, terminal, found.wings, one)
    starts += _draw_terminals(draft, terminals, found, project)
    cores = [spot.box(piece.core) for spot, piece in placed]
    span = project.equipment.junctions.bridge.span
    free = free_ground(draft, cores, ground.stones, ground.inside, span)
    join_belts(draft, starts, aims, found.joins, free)
    return draft


@dataclass(slots=True)
class _Ground:
    """The site: `area` for sections, `inside` the margin for belts, `stones` in the way; `taken`
    cells are those that no dock may stand on."""

    site: Box
    margin: int
    inside: Box
    area: Box
    stones: tuple[Box, ...]
    taken: set[Cell]

    @classmethod
    def of(cls, project: Project, edge: int) -> _Ground:
        site = project.site
        stones = tuple(Box(o.x, o.y, o.width, o.height) for o in site.obstacles)
        return cls(
            Box(0, 0, site.width, site.height),
            site.margin,
            _inset(site.width, site.height, site.margin),
            _inset(site.width, site.height, site.margin + edge),
            stones,
            {cell for stone in stones for cell in stone.cells()},
        )


def _inset(width: int, height: int, edge: int) -> Box:
    return Box(edge, edge, width - 2 * edge, height - 2 * edge)


def _box_of(terminal: Terminal) -> Box:
    cells = terminal.cells()
    x, y = min(cell.x for cell in cells), min(cell.y for cell in cells)
    right, low = max(cell.x for cell in cells), max(cell.y for cell in cells)
    return Box(x, y, right - x + 1, low - y + 1)


def _pieces(site: Site, parts: Sequence[Parts], project: Project, tallest: int) -> Pieces:
    choices = project.choices
    rows = {site.target: choices.row_flows}
    wings = [
        wing
        for section, own in zip(site.sections, parts, strict=True)
        for wing in make_wings(
            section,
            own,
            tallest,
            _goes_on(section, site, project),
            choices.flow,
            rows.get(section.block.process, ()),
        )
    ]
    lines = plan_lines(site, wings, project)
    treated = any(section.block.treatment for section in site.sections)
    if has_row_docks(project) and not treated:
        lines = [line for line in lines if line.wing is None]
    exits = plan_exits(lines, project)
    span = project.equipment.junctions.bridge.span
    names: dict[str, int] = {}
    channels = []
    inlets: dict[int, Source] = {}
    joins: dict[int, int] = {}
    for number, wing in enumerate(wings):
        own = {
            material: gather_lines(
                [(i, line) for i, line in enumerate(lines) if line.goes(material, number)]
            )
            for material in wing.parts.inputs
        }
        shares = {
            name: [share_of(lines, group) for group in held] for name, held in own.items() if held
        }
        channel = draw_channel(wing, shares, span, names)
        agents = gather_lines(
            [(i, line) for i, line in enumerate(lines) if line.agent and line.wing == number]
        )
        if wing.block.treatment:
            channel = with_bay(wing, channel, len(agents), project, names)
        channels.append(channel)
        ends = [(held, channel.inlets.get(material, ())) for material, held in own.items()]
        for held, docks in (*ends, (agents, channel.agents)):
            inlets |= dict(zip((group[0] for group in held), docks, strict=True))
            joins |= {other: main for main, *others in held for other in others}
    belts = {i: dock.belt for i, dock in inlets.items()}
    belts |= {i: f"{lines[i].material} feeder {n}" for n, i in enumerate(joins, start=1)}
    belts |= {i: one.way.to for i, one in exits.items()}
    pieces = [
        draw_piece(wing, channel, _ways(number, wing, lines, belts))
        for number, (wing, channel) in enumerate(zip(wings, channels, strict=True))
    ]
    return Pieces(
        tuple(wings),
        tuple(pieces),
        tuple(lines),
        tuple(inlets.get(i) for i in range(len(lines))),
        {belts[i]: belts[main] for i, main in joins.items()},
        tuple(exits.values()),
    )


def has_row_docks(project: Project) -> bool:
    """Whether each row has docks of its own: in a block alone, unless it is to have trunks or some
    docks stand at given places."""
    choices, site = project.choices, project.site
    apart = [dock.placed for dock in site.docks] + [pit.placed for pit in site.deposits]
    return choices.scope != "site" and choices.supply != "trunks" and not any(apart)


def _goes_on(section: Section, site: Site, project: Project) -> bool:
    """Whether anything that `section` gives goes to a section, or leaves at a given place."""
    taken = {name for other in site.sections for name in (*other.takes, *other.spends)}
    taken |= {dock.material for dock in project.site.outgoing}
    return bool(taken & set(section.gives))


def _ways(
    number: int, wing: Wing, lines: Sequence[Line], belts: Mapping[int, str]
) -> list[list[Way]]:
    """The ways of each outlet of a wing; `belts` names the belt of each line by its index."""
    return [
        [
            Way(line.material, belts.get(i, ""), line.purpose)
            for i, line in enumerate(lines)
            if line.supply == FromOutlet(number, index)
        ]
        for index in range(len(wing.outlets))
    ]


def _dock_lines(found: Pieces) -> dict[FromDock, list[Source]]:
    """The docks of the project that stand apart from what they supply, and what they supply."""
    groups: dict[FromDock, list[Source]] = {}
    for line, inlet in zip(found.lines, found.inlets, strict=True):
        if isinstance(line.supply, FromDock) and inlet is not None:
            groups.setdefault(line.supply, []).append(inlet)
    return {dock: held for dock, held in groups.items() if dock.given.placed or len(held) > 1}


def _terminals(
    groups: Mapping[FromDock, Sequence[Source]], ground: _Ground, goals: Mapping[str, Cell]
) -> list[Terminal]:
    placed = []
    for dock, held in groups.items():
        ways = tuple(Way(dock.given.material, inlet.belt) for inlet in held)
        goal = goals.get(held[0].belt, Cell(0, 0))
        terminal = place_dock(dock, ways, goal, ground.site, ground.margin, ground.taken)
        ground.taken |= terminal.cells()
        placed.append(terminal)
    return placed


def _ways_out(
    exits: Iterable[Exit], ground: _Ground, goals: Mapping[str, Cell]
) -> dict[Exit, Terminal]:
    placed = {}
    for one in exits:
        goal = goals.get(one.way.to, Cell(0, 0))
        placed[one] = place_dock(
            one.dock, (one.way,), goal, ground.site, ground.margin, ground.taken
        )
        ground.taken |= placed[one].cells()
    return placed


def _put_down(draft: Draft, found: Pieces, spots: Sequence[Spot]) -> list[Start]:
    """The wings where they stand, with docks of their own where nothing else brings a material."""
    apart = _dock_lines(found)
    own: dict[str, Source] = {}
    for line, inlet in zip(found.lines, found.inlets, strict=True):
        if inlet is None or isinstance(line.supply, FromOutlet) or line.supply in apart:
            continue
        rate = None
        if isinstance(line.supply, FromDock):
            speed = found.wings[line.wing or 0].parts.lane_speed
            rate = line.supply.rate if line.supply.rate < speed else None
        own[inlet.name] = replace(inlet, rate=rate)
    starts = []
    for spot, piece in zip(spots, found.pieces, strict=True):
        draft.add(*(spot.device(device) for device in piece.draft.devices))
        draft.add(*(spot.device(own[dock.name]) for dock in piece.inlets if dock.name in own))
        starts += [Start(start.to, spot.cell(start.cell)) for start in piece.starts]
    return starts


def _draw_terminals(
    draft: Draft, terminals: Sequence[Terminal], found: Pieces, project: Project
) -> list[Start]:
    docks = {inlet.belt: inlet.name for inlet in found.inlets if inlet is not None}
    starts = []
    for terminal in terminals:
        name = docks[terminal.ways[0].to]
        load = project.materials[terminal.material].stack
        starts += draw_terminal(draft, terminal, name, load, found.wings[0].parts)
    return starts


def _too_small(found: Pieces, placed: int, project: Project, area: Box) -> Finding:
    piece, wing = found.pieces[placed], found.wings[placed]
    site = project.site
    edge = site.width - area.width
    return new_finding(
        "LW427",
        f"the site has room for {placed} of {len(found.pieces)} pieces of sections; the next is "
        f"{wing.block.process} with {piece.width} x {piece.height} cells",
        value=f"{site.width} x {site.height} cells",
        allowed=f"at least {piece.width + edge} x {piece.height + edge} cells for that one alone",
        remedy="enlarge the site, shorten the rows, or move obstacles",
    )
