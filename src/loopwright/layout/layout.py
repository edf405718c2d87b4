"""The placed layout: every device, where it stands and what it is joined to.

A layout is complete in itself: the simulation, the drawings and the proofs read nothing else.
Devices refer to each other by name; names are unique over all kinds.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.grid import Box, Cell, Heading


@dataclass(frozen=True, slots=True)
class Material:
    """What travels. `letter` marks it on drawings; `stack` is the most units on one carrier."""

    name: str
    letter: str
    title: str
    stack: int


@dataclass(frozen=True, slots=True)
class Grade:
    """Factors on the yield and the speed of a batch of which all inputs are marked."""

    batch_yield: Fraction = Fraction(1)
    speed: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True)
class Recipe:
    """One cycle as a station runs it: `cycle` [s] with the station's speed already in it.

    `batch_yield` multiplies the outputs; fractions are kept over from cycle to cycle. `grades` are
    those of batches of mark 1, 2 and so on; the last is also that of higher marks.
    """

    name: str
    cycle: Fraction
    inputs: tuple[tuple[str, int], ...]
    outputs: tuple[tuple[str, int], ...]
    batch_yield: Fraction = Fraction(1)
    grades: tuple[Grade, ...] = ()


@dataclass(frozen=True, slots=True)
class Belt:
    """An accumulating conveyor. `path` runs from the tail (entry) to the head (exit).

    `speed` [cells/s]; `role` is one of lane, return, supply, output, collector.
    """

    name: str
    path: tuple[Cell, ...]
    speed: Fraction
    role: str


@dataclass(frozen=True, slots=True)
class Source:
    """A dock where `material` arrives on the tail of `belt`, `load` units a carrier.

    `rate` [carriers/s]; None means as fast as the belt takes them.
    """

    name: str
    at: Cell
    belt: str
    material: str
    load: int
    rate: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Drain:
    """A dock that takes every carrier from the head of `belt`; `purpose` is product or waste."""

    name: str
    at: Cell
    belt: str
    purpose: str = "product"


@dataclass(frozen=True, slots=True)
class Merge:
    """The heads of 1 to 3 belts join the tail of `outlet`; `at` is the outlet's first cell.

    `rule` is alternate or priority (inlets in falling order). One inlet is a plain joint.
    """

    name: str
    at: Cell
    inlets: tuple[str, ...]
    outlet: str
    rule: str


@dataclass(frozen=True, slots=True)
class SideMerge:
    """The head of `inlet` ends into the flank of `main` at `main.path[index]`; main goes first."""

    name: str
    inlet: str
    main: str
    index: int


@dataclass(frozen=True, slots=True)
class Divert:
    """The head of `inlet` splits to the tails of 2 or 3 belts; `at` is the inlet's last cell.

    `rule` is alternate, overflow (first outlet with room, in order) or material. `filters` gives
    the outlet of each named material; all others leave by the last outlet.
    """

    name: str
    at: Cell
    inlet: str
    outlets: tuple[str, ...]
    rule: str
    filters: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Gate:
    """What admits fresh material to a loop or lane, one carrier a step of `outlet`.

    `main` (the loop's return) goes first, unless a ratio-locked gate names it in its pattern: then
    it passes at its places there, which are left out while it has no carrier. `rule` is open,
    ratio-locked, counted, windowed or scarcest-first. `shares` is the recipe ratio of
    scarcest-first, `pattern` the inlet names of ratio-locked in turn, `quotas` the most carriers of
    each material (counted on the belts of `loop`, or in the last `window` steps). `power` [kW] is
    what it draws.
    """

    name: str
    box: Box
    inlets: tuple[str, ...]
    outlet: str
    rule: str
    main: str | None = None
    shares: tuple[tuple[str, int], ...] = ()
    pattern: tuple[str, ...] = ()
    quotas: tuple[tuple[str, int], ...] = ()
    window: int = 0
    loop: tuple[str, ...] = ()
    power: Fraction = Fraction(0)

    @property
    def main_has_places(self) -> bool:
        """Whether what comes round takes its turn in the pattern, in place of going first."""
        return self.rule == "ratio-locked" and self.main in self.pattern

    @property
    def told_main(self) -> str:
        """How what comes round is let in, in words; empty where nothing does."""
        if self.main is None:
            return ""
        return f"{self.main} at its places" if self.main_has_places else f"{self.main} first"


@dataclass(frozen=True, slots=True)
class Station:
    """One machine running `recipe`. `caps` [units] of each input; `outlet_cap` [units] of each
    output that may wait: a cycle starts only while the coming batch has room. `power` [kW] is what
    it draws."""

    name: str
    box: Box
    recipe: str
    caps: tuple[tuple[str, int], ...]
    outlet_cap: int
    row: str = ""
    power: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Store:
    """A buffer box for `cap` units of any materials."""

    name: str
    box: Box
    cap: int


@dataclass(frozen=True, slots=True)
class Port:
    """Where a picker takes from or puts to: a belt's cell, a station or a store; it may also put
    to an applicator."""

    device: str
    index: int | None = None


@dataclass(frozen=True, slots=True)
class Picker:
    """A pick-and-place unit standing at `at`, facing from `source` to `target`.

    `swing` [s] is one whole pick and place; `hand` [units] the most it carries; `habit` is commit
    (takes only what there is room for) or grab (takes ahead and holds); `takes` is units (as many
    as fit off a carrier), carriers (a carrier of a belt only whole) or hands (as many as the hand
    holds, or none). `power` [kW] is what it draws.
    """

    name: str
    at: Cell
    source: Port
    target: Port
    facing: Heading
    swing: Fraction
    hand: int = 1
    habit: str = "commit"
    power: Fraction = Fraction(0)
    takes: str = "units"


@dataclass(frozen=True, slots=True)
class Applicator:
    """Stands at `at` beside the cell `belt.path[index]` and marks the carriers on it.

    It gives the mark `level` to carriers of `materials` (of all, if none are named) that have a
    lower one, spends `dose` units of `agent` for each unit, and marks `rate` [units/s] at most;
    None means whatever comes. Pickers put the agent into its tank of `cap` [units]. `power` [kW] is
    what it draws.
    """

    name: str
    at: Cell
    belt: str
    index: int
    agent: str
    cap: int
    materials: tuple[str, ...] = ()
    dose: Fraction = Fraction(1)
    level: int = 1
    rate: Fraction | None = None
    power: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class PowerKind:
    """A kind of power node, on one cell: `shape` square or round of the area that it supplies,
    `cover` [cells] across, `span` [cells] of its longest link, `supply` [kW] that it hands on at
    most to devices in its area; None where there is no limit."""

    name: str
    title: str
    shape: str
    cover: int
    span: int
    supply: Fraction | None = None


@dataclass(frozen=True, slots=True)
class PowerNode:
    """Supplies the devices in its area. `kind` is the name of a `PowerKind`."""

    name: str
    at: Cell
    kind: str


@dataclass(frozen=True, slots=True)
class PowerLink:
    """A cable between the power nodes named `a` and `b`."""

    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Layout:
    """All devices of a site, each kind in the natural order of its names.

    `bridge_span` [cells] is the most that a belt stays up; None where that is not known.
    """

    title: str
    width: int
    height: int
    cell_size: Fraction
    materials: tuple[Material, ...]
    recipes: tuple[Recipe, ...]
    belts: tuple[Belt, ...] = ()
    sources: tuple[Source, ...] = ()
    drains: tuple[Drain, ...] = ()
    merges: tuple[Merge, ...] = ()
    side_merges: tuple[SideMerge, ...] = ()
    diverts: tuple[Divert, ...] = ()
    gates: tuple[Gate, ...] = ()
    stations: tuple[Station, ...] = ()
    stores: tuple[Store, ...] = ()
    pickers: tuple[Picker, ...] = ()
    applicators: tuple[Applicator, ...] = ()
    obstacles: tuple[Box, ...] = ()
    power_kinds: tuple[PowerKind, ...] = ()
    power_nodes: tuple[PowerNode, ...] = ()
    power_links: tuple[PowerLink, ...] = ()
    bridge_span: int | None = None
