"""A wing drawn: its modules, the channel of trunks before them, and the chains of its outlets.

All in coordinates of its own: docks and trunks in the west, outlets in the east.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from loopwright.grid import Box, Cell, Heading
from loopwright.layout.draft import Draft
from loopwright.layout.footprint import Standing, device_cells
from loopwright.layout.layout import Belt, Drain, SideMerge, Source, Station
from loopwright.layout.section.outline import Wing, draw_modules
from loopwright.layout.section.ways import Start, Way, draw_ways, order_ways
from loopwright.layout.supply.channel import TrunkPlan, plan_trunks
from loopwright.layout.supply.dock import demand_of
from loopwright.layout.supply.entry import heads
from loopwright.layout.supply.trunk import Pen


@dataclass(frozen=True, slots=True)
class Piece:
    """A wing as it is put on the site. No belt of others passes `core`; `starts` are the belts that
    go on from its outlets, `inlets` the docks that its lines of supply would begin at."""

    draft: Draft
    core: Box
    width: int
    height: int
    inlets: tuple[Source, ...]
    starts: tuple[Start, ...]


@dataclass(frozen=True, slots=True)
class Channel:
    """The modules of a wing with their trunks; `inlets` are the docks that these would begin at, by
    material in the order of its lines, `agents` those of what marks all that comes in."""

    draft: Draft
    inlets: Mapping[str, tuple[Source, ...]]
    agents: tuple[Source, ...] = ()


def draw_channel(
    wing: Wing, shares: Mapping[str, Sequence[Fraction]], span: int, names: dict[str, int]
) -> Channel:
    """The modules of `wing`, and trunks for lines that bring `shares` of a belt of each material.

    `names` counts the docks of each material on the whole site.

    Raises
    ------
    DesignError
        LW425: more lines come to a row than there is room for before it.
    """
    if not shares:
        return Channel(draw_modules(wing.modules, wing.parts, 0), {})
    plan = _plan(wing, draw_modules(wing.modules, wing.parts, 0), shares)
    west = plan.width
    draft = draw_modules(wing.modules, wing.parts, west)
    gone = {entry.dock.name for entry in draft.entries}
    draft.devices = [device for device in draft.devices if device.name not in gone]
    first = dict(names)
    pen = Pen(draft, _plan(wing, draft, shares), wing.parts, span, west, names)
    pen.draw()
    docks = {device.name: device for device in draft.devices if isinstance(device, Source)}
    inlets = {}
    for material, parts in shares.items():
        inlets[material] = tuple(
            docks[f"{material} dock {first.get(material, 0) + number}"]
            for number in range(1, len(parts) + 1)
        )
    draft.devices = [device for device in draft.devices if not isinstance(device, Source)]
    return Channel(draft, inlets)


def _plan(wing: Wing, draft: Draft, shares: Mapping[str, Sequence[Fraction]]) -> TrunkPlan:
    rows = heads(draft.entries)
    demands = {
        material: [
            demand_of(entry, wing.block, wing.parts)
            for head in rows
            for entry in head
            if entry.material == material
        ]
        for material in wing.parts.inputs
    }
    return plan_trunks(rows, demands, {name: list(parts) for name, parts in shares.items()})


def draw_outlets(wing: Wing, draft: Draft, ways: Sequence[Sequence[Way]]) -> list[Start]:
    """Bring the output belts of each outlet together and lead them to their `ways`, one list an
    outlet; the starts of the belts that go on from there.

    An outlet whose only way is a dock keeps the docks of its belts.
    """
    belts = [device for device in draft.devices if isinstance(device, Belt)]
    east = 1 + max(belt.path[-1].x for belt in belts if belt.role == "output")
    starts: list[Start] = []
    for outlet, found in zip(wing.outlets, ways, strict=True):
        if len(found) == 1 and not found[0].to:
            _mark(draft, outlet.belts, found[0].purpose)
            continue
        belt = _collected(draft, outlet.belts, east)
        ordered = order_ways(belt.name, found)
        starts += draw_ways(draft, belt, Heading.EAST, ordered, (Heading.SOUTH, Heading.NORTH))
    return starts


def _mark(draft: Draft, belts: Sequence[str], purpose: str) -> None:
    """Say what the docks of `belts` are for."""
    draft.devices = [
        replace(device, purpose=purpose)
        if isinstance(device, Drain) and device.belt in belts
        else device
        for device in draft.devices
    ]


def _collected(draft: Draft, belts: Sequence[str], east: int) -> Belt:
    """The first of `belts` led down column `east`, past the ends of the others, which end into its
    flank; one alone goes straight on."""
    draft.devices = [
        device
        for device in draft.devices
        if not (isinstance(device, Drain) and device.belt in belts)
    ]
    held = {device.name: device for device in draft.devices if isinstance(device, Belt)}
    found = [held[name] for name in belts]
    for belt in found:
        draft.devices.remove(belt)
    found = [_led(belt, east - 1) for belt in found]
    first, others = found[0], found[1:]
    top = first.path[-1].y
    if others:
        last = others[-1].path[-1].y + 1
        down = tuple(Cell(east, y) for y in range(top, last + 1))
        first = replace(first, path=(*first.path, *down))
    else:
        first = _led(first, east)
    index = len(first.path) - 1
    for belt in others:
        at = index - (first.path[-1].y - belt.path[-1].y)
        draft.add(belt, SideMerge(f"{belt.name} end", belt.name, first.name, at))
    draft.add(first)
    return first


def _led(belt: Belt, east: int) -> Belt:
    """`belt` led on eastwards to column `east`."""
    end = belt.path[-1]
    return replace(belt, path=(*belt.path, *(Cell(x, end.y) for x in range(end.x + 1, east + 1))))


def draw_piece(wing: Wing, channel: Channel, ways: Sequence[Sequence[Way]]) -> Piece:
    """The wing with the chains that lead each outlet to its `ways`."""
    docks = (*(dock for found in channel.inlets.values() for dock in found), *channel.agents)
    west = 1 + docks[0].at.x if docks else 0
    starts = draw_outlets(wing, channel.draft, ways)
    belts = [device for device in channel.draft.devices if isinstance(device, Belt)]
    devices = [device for device in channel.draft.devices if isinstance(device, Standing)]
    cells = [cell for device in devices for cell in device_cells(device)]
    cells += [*(start.cell for start in starts), *(dock.at for dock in docks)]
    boxes = [device.box for device in devices if isinstance(device, Station)]
    lanes = [cell for belt in belts if belt.role != "output" for cell in belt.path]
    assert min(cell.x for cell in cells) >= 0
    assert min(cell.y for cell in cells) >= 0
    east = 1 + max([box.x + box.width - 1 for box in boxes] + [cell.x for cell in lanes])
    height = 1 + max(cell.y for cell in cells)
    return Piece(
        channel.draft,
        Box(west, 0, east - west, height),
        1 + max(cell.x for cell in cells),
        height,
        docks,
        tuple(starts),
    )
