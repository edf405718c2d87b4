"""Findings about power: what is out of reach, links too long, parts apart, nodes overloaded."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence, Set
from fractions import Fraction

from loopwright.exact import format_fraction
from loopwright.finding import Finding, Place, new_finding
from loopwright.grid import Cell
from loopwright.layout.layout import Layout, PowerKind, PowerNode
from loopwright.layout.order import natural_key
from loopwright.layout.power.covering import covering_of
from loopwright.layout.power.free import free_cells
from loopwright.layout.power.network import reach_of
from loopwright.layout.power.powered import Powered, powered_devices
from loopwright.layout.power.reach import Reach
from loopwright.layout.power.share import shared_power
from loopwright.layout.power.tree import parts_of, squared

LARGEST_COVER = 100
"""Up to which a cover that would do is looked for [cells]."""


def check_power(layout: Layout) -> Iterator[Finding]:
    """All findings about the power nodes of `layout`; none where it has no kinds and no nodes."""
    if not layout.power_kinds and not layout.power_nodes:
        return
    kinds = {kind.name: kind for kind in layout.power_kinds}
    yield from _unknown(layout, kinds)
    nodes = {node.name: node for node in layout.power_nodes if node.kind in kinds}
    yield from _reached(layout, kinds)
    yield from _links(layout, nodes, kinds)
    yield from _loads(layout, kinds)


def _unknown(layout: Layout, kinds: dict[str, PowerKind]) -> Iterator[Finding]:
    names = {node.name for node in layout.power_nodes}
    for node in layout.power_nodes:
        if node.kind not in kinds:
            message = f"{node.name} is of a kind that is not there: {node.kind}"
            yield new_finding("LW419", message, Place(device=node.name), value=node.kind)
    for link in layout.power_links:
        for end in (link.a, link.b):
            if end not in names:
                message = f"a link goes to {end}, which is not there"
                yield new_finding("LW419", message, Place(device=end), value=end)


def _cells_by_kind(layout: Layout) -> dict[str, list[Cell]]:
    found: dict[str, list[Cell]] = defaultdict(list)
    for node in layout.power_nodes:
        found[node.kind].append(node.at)
    return found


def _reached(layout: Layout, kinds: dict[str, PowerKind]) -> Iterator[Finding]:
    """Devices without power, those of one row and kind together."""
    devices = powered_devices(layout)
    boxes = [device.box for device in devices]
    reached: set[int] = set()
    for name, cells in _cells_by_kind(layout).items():
        if name in kinds:
            covering = covering_of(boxes, set(cells), reach_of(kinds[name]))
            reached.update(*covering.reaches)
    dark = [device for number, device in enumerate(devices) if number not in reached]
    if not dark:
        return
    free = free_cells(layout)
    reachable: set[str] = set()
    for kind in layout.power_kinds:
        covering = covering_of([device.box for device in dark], free, reach_of(kind))
        for found in covering.reaches:
            reachable.update(dark[number].name for number in found)
    groups: dict[tuple[str, str, bool], list[Powered]] = defaultdict(list)
    for device in dark:
        groups[device.kind, _row(device.name), device.name in reachable].append(device)
    for (word, _, helped), members in groups.items():
        near = "put a power node on a free cell near them"
        yield _dark(word, members, near if helped else _remedy(layout, members, free))


def _dark(kind: str, members: Sequence[Powered], remedy: str) -> Finding:
    first = min(members, key=lambda device: natural_key(device.name))
    more = f" and {len(members) - 1} more {kind}s of its row" if len(members) > 1 else ""
    message = f"no power node reaches {first.name}{more}"
    place = Place(device=first.name)
    return new_finding("LW415", message, place, value=str(len(members)), remedy=remedy)


def _remedy(layout: Layout, devices: Sequence[Powered], free: Set[Cell]) -> str:
    """The least cover with which a node on some free cell would reach each of `devices`."""
    largest = max(layout.power_kinds, key=lambda kind: kind.cover)
    for cover in range(largest.cover + 1, LARGEST_COVER + 1):
        reach = Reach(largest.shape, cover)
        if all(_in_reach(device, reach, free) for device in devices):
            return f"use a node with cover: {cover}, or make room near them"
    return "make room for a power node near them"


def _in_reach(device: Powered, reach: Reach, free: Set[Cell]) -> bool:
    box = device.box
    steps = reach.steps_to(box.width, box.height)
    return any(Cell(box.x + dx, box.y + dy) in free for dx, dy in steps)


def _row(name: str) -> str:
    """The name up to its last word with a number, which tells the devices of a row apart."""
    head, _, tail = name.rpartition(" ")
    return head if any(sign.isdigit() for sign in tail) else name


def _links(
    layout: Layout, nodes: dict[str, PowerNode], kinds: dict[str, PowerKind]
) -> Iterator[Finding]:
    numbers = {name: number for number, name in enumerate(nodes)}
    held: list[tuple[int, int]] = []
    for link in layout.power_links:
        if link.a not in nodes or link.b not in nodes:
            continue
        one, other = nodes[link.a], nodes[link.b]
        span = min(kinds[one.kind].span, kinds[other.kind].span)
        if squared(one.at, other.at) > span * span:
            message = f"the link from {link.a} to {link.b} is longer than {span} cells"
            place = Place(device=link.a)
            yield new_finding("LW416", message, place, allowed=f"at most {span} cells")
        held.append((numbers[link.a], numbers[link.b]))
    parts = parts_of(len(nodes), held)
    if len(parts) > 1:
        names = list(nodes)
        lone = min(parts, key=len)
        message = f"the power nodes fall into {len(parts)} parts; {names[lone[0]]} is in one apart"
        place = Place(device=names[lone[0]])
        yield new_finding("LW417", message, place, value=str(len(parts)))


def _loads(layout: Layout, kinds: dict[str, PowerKind]) -> Iterator[Finding]:
    """Devices that no node in reach has power left for; with nodes of one kind only."""
    by_kind = _cells_by_kind(layout)
    limits = {name: kinds[name].supply for name in by_kind if name in kinds}
    for name, supply in limits.items():
        if supply is None or len(by_kind) > 1:
            continue
        devices = powered_devices(layout)
        share = shared_power(devices, by_kind[name], reach_of(kinds[name]), supply)
        missing = sum((device.power for device in share.short), Fraction(0))
        if share.short:
            message = (
                f"{len(share.short)} devices, such as {share.short[0].name}, have no node in reach "
                f"with power left: {format_fraction(missing)} kW are short"
            )
            allowed = f"{format_fraction(supply)} kW from a node"
            place = Place(device=share.short[0].name)
            yield new_finding("LW418", message, place, allowed=allowed)
