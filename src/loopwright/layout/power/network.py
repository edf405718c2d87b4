"""Power for a placed layout: nodes, links, and how few nodes there can be."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from fractions import Fraction

from loopwright.grid import Cell
from loopwright.layout.layout import Layout, PowerKind, PowerLink, PowerNode
from loopwright.layout.order import natural_key
from loopwright.layout.power.choose import Choice, choose_cells
from loopwright.layout.power.covering import Covering, covering_of
from loopwright.layout.power.free import free_cells
from loopwright.layout.power.powered import Powered, powered_devices
from loopwright.layout.power.reach import Reach
from loopwright.layout.power.relay import with_relays
from loopwright.layout.power.share import with_supply
from loopwright.layout.power.tree import length_hundredths, shortest_links


@dataclass(frozen=True, slots=True)
class Network:
    """Nodes of one kind and their links.

    `cover` nodes reach all devices that can be reached, and no fewer than `bound` can. `extra`
    nodes are there because devices draw much, `relays` because nodes stand far apart. `unreached`
    devices have no free cell near enough.
    """

    kind: PowerKind
    nodes: tuple[PowerNode, ...]
    links: tuple[PowerLink, ...]
    cover: int
    bound: int
    extra: int
    relays: int
    unreached: tuple[Powered, ...]


def power_network(layout: Layout, kind: PowerKind, margin: int = 0) -> Network:
    """The fewest nodes of `kind` that were found for `layout`, linked.

    Nodes that `layout` has already are left out of account. `margin` [cells] is kept free along
    the edge of the site.
    """
    bare = replace(layout, power_nodes=(), power_links=())
    devices = powered_devices(bare)
    free = free_cells(bare, margin)
    reach = reach_of(kind)
    covering = covering_of([device.box for device in devices], free, reach)
    choice = choose_cells(covering)
    extra: tuple[Cell, ...] = ()
    if kind.supply is not None:
        extra = with_supply(devices, choice.cells, free, reach, kind.supply)
    return _linked(kind, devices, covering, choice, extra, free)


def reach_of(kind: PowerKind) -> Reach:
    """What a node of `kind` reaches."""
    return Reach(kind.shape, kind.cover)


def _linked(
    kind: PowerKind,
    devices: Sequence[Powered],
    covering: Covering,
    choice: Choice,
    extra: tuple[Cell, ...],
    free: Set[Cell],
) -> Network:
    supplying = (*choice.cells, *extra)
    relays = with_relays(supplying, free, kind.span)
    cells = sorted((*supplying, *relays), key=lambda cell: (cell.y, cell.x))
    names = [f"power {number}" for number in range(1, len(cells) + 1)]
    links = shortest_links(cells, kind.span)
    reached = covering.devices if covering.cells else frozenset()
    return Network(
        kind=kind,
        nodes=tuple(PowerNode(n, c, kind.name) for n, c in zip(names, cells, strict=True)),
        links=tuple(PowerLink(names[one], names[other]) for one, other in links),
        cover=len(choice.cells),
        bound=choice.bound,
        extra=len(extra),
        relays=len(relays),
        unreached=tuple(d for number, d in enumerate(devices) if number not in reached),
    )


def with_network(layout: Layout, network: Network) -> Layout:
    """`layout` with the nodes and links of `network` in the place of its own."""
    return replace(
        layout,
        power_kinds=(network.kind,),
        power_nodes=tuple(sorted(network.nodes, key=lambda node: natural_key(node.name))),
        power_links=network.links,
    )


def cable_hundredths(layout: Layout) -> int:
    """Length of all links of `layout`, each rounded up [1/100 cell]."""
    at = {node.name: node.at for node in layout.power_nodes}
    return sum(
        length_hundredths(at[link.a], at[link.b])
        for link in layout.power_links
        if link.a in at and link.b in at
    )


def total_power(layout: Layout) -> Fraction:
    """What all devices of `layout` draw together [kW]."""
    return sum((device.power for device in powered_devices(layout)), Fraction(0))
