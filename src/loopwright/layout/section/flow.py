"""What flows from where to where: parts of each material between docks, wings and drains."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from loopwright.block.site import Flow, Site
from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.layout.section.outline import FULL, Wing
from loopwright.layout.section.share import Part, share_supplies
from loopwright.model import Project
from loopwright.model.site import Deposit, Dock, Outgoing

Given = Dock | Deposit


@dataclass(frozen=True, slots=True)
class FromOutlet:
    """What leaves the wing with that index by the outlet with that index."""

    wing: int
    outlet: int


@dataclass(frozen=True, slots=True)
class FromDock:
    """What the dock or deposit (`kind` docks or deposits) with that index brings; one that brings
    more than a belt is several, side by side, of which this is number `belt`. `rate` [carriers/s]
    is what it brings at most."""

    given: Given
    kind: str
    index: int
    belt: int
    rate: Fraction


@dataclass(frozen=True, slots=True)
class ToDock:
    """Where things leave: the dock with that index among those of `kind` outgoing; one that takes
    several belts is several, side by side, of which this is number `belt`."""

    given: Outgoing
    index: int
    belt: int
    kind: str = "outgoing"


@dataclass(frozen=True, slots=True)
class FromAnywhere:
    """A dock of its own, with as much as is asked for."""

    number: int


Supply = FromOutlet | FromDock | FromAnywhere

Taker = tuple[int, bool]
"""The index of a wing, and whether it takes the agent with which its other supplies are marked."""


@dataclass(frozen=True, slots=True)
class Line:
    """`share` of a lane belt of `material` that comes from `supply` to the wing with index
    `wing`, as what its stations take or as the `agent` that marks this; into a drain where the wing
    is None, which is for `purpose`."""

    material: str
    supply: Supply
    wing: int | None
    share: Fraction
    purpose: str = "product"
    agent: bool = False

    def goes(self, material: str, wing: int, agent: bool = False) -> bool:
        """Whether it brings `material` to the wing with that index, for its stations or as the
        agent."""
        return (self.material, self.wing, self.agent) == (material, wing, agent)


def gather_lines(lines: Sequence[tuple[int, Line]]) -> list[list[int]]:
    """Lines of one material to one wing, by index, in groups that share one belt to it.

    Lines from outlets come together as far as a belt takes them; in each group the fullest stands
    first, and the others end into its flank.
    """
    groups: list[list[tuple[int, Line]]] = []
    for i, line in lines:
        last = groups[-1] if groups else []
        held = sum((one.share for _, one in last), line.share)
        inside = all(isinstance(one.supply, FromOutlet) for _, one in (*last, (i, line)))
        if last and inside and held <= FULL:
            last.append((i, line))
        else:
            groups.append([(i, line)])
    return [[i for i, _ in sorted(group, key=lambda entry: -entry[1].share)] for group in groups]


def share_of(lines: Sequence[Line], group: Sequence[int]) -> Fraction:
    """The share of a belt that a group of lines brings."""
    return sum((lines[i].share for i in group), Fraction(0))


def plan_lines(site: Site, wings: Sequence[Wing], project: Project) -> list[Line]:
    """All lines of supply, material by material, in the order in which supplies serve takers."""
    return [
        line
        for flow in site.flows
        for line in _of_material(flow, wings, site.loads[flow.material], project)
    ]


def _of_material(
    flow: Flow, wings: Sequence[Wing], carried: Fraction, project: Project
) -> Iterator[Line]:
    parts = wings[0].parts
    stack = project.materials[flow.material].stack
    supplies: list[tuple[Supply, Fraction]] = [
        (FromOutlet(number, index), rate)
        for number, wing in enumerate(wings)
        for index, rate in enumerate(_given(flow.material, wing))
    ]
    kinds: tuple[tuple[str, Sequence[Given], Fraction], ...] = (
        ("docks", project.site.docks, flow.imported),
        ("deposits", project.site.deposits, flow.drawn),
    )
    for kind, given, left in kinds:
        for dock in _docks(kind, given, flow.material, stack, parts.lane_speed):
            rate = min(left, dock.rate * stack)
            supplies.append((dock, rate))
            left -= rate
    takers: list[tuple[Taker | None, Fraction]] = [
        ((number, agent), rate)
        for number, wing in enumerate(wings)
        for (material, agent), rate in wing.wants.items()
        if material == flow.material
    ]
    short = _total(takers) - _total(supplies)
    if short > 0:
        supplies.append((FromAnywhere(0), short))
    elif flow.demanded or flow.spare:
        takers.append((None, -short))
    purpose = "product" if flow.demanded else "waste"
    for part in share_supplies(supplies, takers):
        load = carried if isinstance(part.supply, FromOutlet) else Fraction(stack)
        yield from _belts(flow.material, part, load * parts.lane_speed, purpose)


def _total(rates: Iterable[tuple[object, Fraction]]) -> Fraction:
    return sum((rate for _, rate in rates), Fraction(0))


def _belts(
    material: str, part: Part[Supply, Taker | None], belt: Fraction, purpose: str
) -> Iterator[Line]:
    """One line for each belt that `part` fills, one at least; a full one carries `belt`
    [units/s]."""
    if part.taker is None:
        if not isinstance(part.supply, FromOutlet):
            raise DesignError((_sent_on(material),))
        yield Line(material, part.supply, None, Fraction(0), purpose)
        return
    worth = part.rate / belt
    count = ceil(worth)
    for number in range(count):
        supply = FromAnywhere(number) if isinstance(part.supply, FromAnywhere) else part.supply
        wing, agent = part.taker
        yield Line(material, supply, wing, worth / count, agent=agent)


def _given(material: str, wing: Wing) -> list[Fraction]:
    """What each outlet of `wing` gives of a material [units/s], by the plan."""
    rate = wing.gives.get(material, Fraction(0))
    stations = sum(outlet.stations for outlet in wing.outlets)
    return [rate * outlet.stations / stations for outlet in wing.outlets]


def _docks(
    kind: str, given: Sequence[Given], material: str, stack: int, speed: Fraction
) -> Iterator[FromDock]:
    """Docks or deposits of a material as belts of at most `speed` [carriers/s]."""
    for index, one in enumerate(given):
        if one.material == material:
            count = ceil(one.rate / (stack * speed))
            for belt in range(count):
                yield FromDock(one, kind, index, belt, one.rate / (stack * count))


def _sent_on(material: str) -> Finding:
    return new_finding(
        "LW429",
        f"{material} comes in through docks only to be sent out again",
        Place(path=f"demand.{material}"),
        value=material,
    )
