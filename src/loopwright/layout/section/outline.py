"""Sections cut into wings: what each takes and gives, before anything is drawn on the site."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from operator import itemgetter

from loopwright.block.block import Block
from loopwright.block.site import Section
from loopwright.grid import Cell
from loopwright.layout.direction import module_flows
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Picker
from loopwright.layout.module import Module, draw_module, make_modules
from loopwright.layout.parts import Parts

FULL = Fraction(9, 10)
"""Share of an output belt that belts which end into it may fill: the last of many side merges on a
nearly full belt finds too few gaps."""


@dataclass(frozen=True, slots=True)
class Outlet:
    """Output belts of a wing that leave it as one, from north to south; the stations on them."""

    belts: tuple[str, ...]
    stations: int


@dataclass(frozen=True, slots=True)
class Wing:
    """Modules of one section that stand one below the other with one channel of trunks.

    `takes`, `gives` and `spends` are its rates [units/s] by the plan. `flow` is east, west, or auto
    where it may flow either way.
    """

    block: Block
    parts: Parts
    modules: tuple[Module, ...]
    takes: Mapping[str, Fraction]
    gives: Mapping[str, Fraction]
    outlets: tuple[Outlet, ...]
    spends: Mapping[str, Fraction]
    flow: str

    @property
    def wants(self) -> Mapping[tuple[str, bool], Fraction]:
        """What has to be brought [units/s], by material and whether it is the agent that marks."""
        takes = {(name, False): rate for name, rate in self.takes.items()}
        return takes | {(name, True): rate for name, rate in self.spends.items()}


def make_wings(
    section: Section,
    parts: Parts,
    tallest: int,
    collected: bool,
    flow: str = "auto",
    row_flows: Sequence[str] = (),
) -> list[Wing]:
    """`section` in as few wings as are at most `tallest` cells high and spend no more agent than
    one belt brings, each with about as many modules that flow alike; at least one module each.

    `collected` says that what it gives goes on to other sections, so output belts are brought
    together. `row_flows` are those of single rows, `flow` holds for the rest.

    Raises
    ------
    DesignError
        LW437: rows of one module are to flow apart.
    """
    block = section.block
    modules = make_modules(block.architecture, block.sides, block.rows)
    flows = module_flows(modules, flow, row_flows)
    most = _most_stations(section, parts)
    total = sum(row.stations for row in block.rows)
    wings = []
    for held, way in _alike(modules, flows, parts, tallest, most):
        stations = sum(row.stations for module in held for row in module.rows)
        outlets = _outlets(held, block, parts, collected)
        share = Fraction(stations, total)
        takes = {name: rate * share for name, rate in section.takes.items()}
        gives = {name: rate * share for name, rate in section.gives.items()}
        spends = {name: rate * share for name, rate in section.spends.items()}
        wings.append(Wing(block, parts, tuple(held), takes, gives, outlets, spends, way))
    return wings


def _alike(
    modules: Sequence[Module], flows: Sequence[str], parts: Parts, tallest: int, most: Fraction
) -> Iterator[tuple[list[Module], str]]:
    """Modules one after the other that flow alike, in as few pieces as are at most `tallest` cells
    high and have at most `most` stations."""
    for flow, run in groupby(zip(modules, flows, strict=True), key=itemgetter(1)):
        held = [module for module, _ in run]
        heights = [module.height(parts) + parts.aisle for module in held]
        sizes = [sum(row.stations for row in module.rows) for module in held]
        counts = range(1, len(held) + 1)
        fits = (
            n
            for n in counts
            if max(_dealt(heights, n)) <= tallest + parts.aisle and max(_dealt(sizes, n)) <= most
        )
        yield from ((piece, flow) for piece in _deal(held, next(fits, len(held))))


def _most_stations(section: Section, parts: Parts) -> Fraction:
    """The stations for which one belt brings the agent that they spend; all, if they spend none."""
    total = Fraction(sum(row.stations for row in section.block.rows))
    return min(
        (total * agent_belt(parts, agent) / rate for agent, rate in section.spends.items()),
        default=total,
    )


def agent_belt(parts: Parts, agent: str) -> Fraction:
    """What a belt brings of an agent at most [units/s]."""
    return FULL * parts.lane_speed * parts.carried[agent]


def _deal(modules: Sequence[Module], count: int) -> list[list[Module]]:
    size = -(-len(modules) // count)
    return [list(modules[first : first + size]) for first in range(0, len(modules), size)]


def _dealt(heights: Sequence[int], count: int) -> list[int]:
    size = -(-len(heights) // count)
    return [sum(heights[first : first + size]) for first in range(0, len(heights), size)]


def draw_modules(modules: Sequence[Module], parts: Parts, west: int) -> Draft:
    """Modules one below the other, `west` cells from the western edge."""
    draft = Draft()
    y = 0
    for module in modules:
        draw_module(draft, module, parts, Cell(west, y))
        y += module.height(parts) + parts.aisle
    return draft


def _outlets(
    modules: Sequence[Module], block: Block, parts: Parts, collected: bool
) -> tuple[Outlet, ...]:
    """Output belts from north to south, brought together as far as one belt takes them."""
    draft = draw_modules(modules, parts, 0)
    found: list[Outlet] = []
    for belt, stations in output_belts(draft).items():
        last = found[-1] if found else None
        if collected and last and last.stations + stations <= block.output_capacity * FULL:
            found[-1] = Outlet((*last.belts, belt), last.stations + stations)
        else:
            found.append(Outlet((belt,), stations))
    return tuple(found)


def output_belts(draft: Draft) -> Mapping[str, int]:
    """Stations on each output belt, from north to south."""
    belts = [d for d in draft.devices if isinstance(d, Belt) and d.role == "output"]
    counts = {belt.name: 0 for belt in sorted(belts, key=lambda belt: belt.path[-1].y)}
    for device in draft.devices:
        if isinstance(device, Picker) and device.target.device in counts:
            counts[device.target.device] += 1
    return counts
