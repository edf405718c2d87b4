"""What the proofs know of a loop: its cells, what enters, who takes, what leaves."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd


@dataclass(frozen=True, slots=True)
class Way:
    """How carriers are sure to come from `dock`, which brings `brings` [carriers/s]: so many
    `stations` are served before, and use `uses` [carriers/s] at full rate, which is less."""

    dock: str
    brings: Fraction
    stations: int
    uses: Fraction


@dataclass(frozen=True, slots=True)
class Feed:
    """A fresh inlet of the gate. `material` is None where it is not certain that one material, and
    no other, comes by it again and again; `fault` then says why.

    `load` [units] is what a fresh carrier holds. `prompt` says that, while docks supply, a carrier
    waits at the gate in every step of the loop. `docks` are all that can bring it, `shared` says
    that they bring it to others too; `way` is the way on which it is sure to come. `mix` is there
    where several materials come by turns, each of them again and again.
    """

    belt: str
    material: str | None
    load: int
    prompt: bool
    docks: tuple[str, ...] = ()
    way: Way | None = None
    shared: bool = False
    fault: str = ""
    mix: Mix | None = None


@dataclass(frozen=True, slots=True)
class Mix:
    """A tree of merges by turns behind an inlet. `parts` has a lane that is sure of each material,
    `shares` what each has of the fresh carriers while all lanes are full, `leaves` its number of
    lanes. In a `round` of carriers of the root all merges have had their turns; the share `back` of
    them is fed back over `cells` cells. `slack` is what may go back beyond that share in a stretch.
    `prompt`: all lanes are full once docks supply.
    """

    parts: tuple[Feed, ...]
    shares: tuple[tuple[str, Fraction], ...]
    leaves: tuple[tuple[str, int], ...]
    round: int
    back: Fraction
    cells: int
    slack: Fraction
    prompt: bool

    @property
    def spread(self) -> Fraction:
        """How far the fresh carriers of any stretch are from their shares, less than that."""
        total = sum(count for _, count in self.leaves)
        shares = dict(self.shares)
        return max(
            (1 - shares[name]) * count + shares[name] * (total - count)
            for name, count in self.leaves
        )

    def gap(self, material: str) -> int:
        """Carriers of the product among which one of `material` is sure to be."""
        if not self.back:
            return self.round
        share = dict(self.shares)[material]
        held = int((self.spread + self.cells) / share) + 1
        more = share * (1 - self.back) - self.back
        if more <= 0:
            return held
        return min(held, ceil((dict(self.leaves)[material] + self.slack) / more))


@dataclass(frozen=True, slots=True)
class Waste:
    """The way out of a drained loop: `divert` sends on what has room before the gate, on the belts
    `past`, and the rest to `drain`, which is never held up."""

    divert: str
    drain: str
    past: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Siding:
    """The belt of `cells` on which a material of a sorted loop waits, `row` cells behind the gate.

    It ends at the tail of the belt `feed`, where it goes `first`, or not, before the belt `supply`
    from outside. `takes` is all that the diverts would send to it.
    """

    belt: str
    cells: int
    feed: str
    row: int
    supply: str
    takes: frozenset[str]
    first: bool


@dataclass(frozen=True, slots=True)
class Sorting:
    """How the leftovers of a loop come back sorted: `joint`, a gate or a merge with `rule`, fills
    the belts `row` up to the last divert; all materials pass those `before` the first. `sidings`
    are in the order of the joint's inlets."""

    joint: str
    gated: bool
    rule: str
    row: tuple[str, ...]
    before: tuple[str, ...]
    sidings: tuple[Siding, ...]


@dataclass(frozen=True, slots=True)
class Tap:
    """A picker that takes from the loop into `target`. `seam`: it stands at the cell which is
    always passed over, and never sees a carrier."""

    picker: str
    target: str
    belt: str
    index: int
    habit: str
    hand: int
    swing: Fraction
    seam: bool
    takes: str = "units"

    @property
    def free(self) -> bool:
        """Whether it takes one unit wherever there is room for one, and never more than fits."""
        one = self.takes == "units" or (self.takes == "hands" and self.hand == 1)
        return self.habit == "commit" and one

    @property
    def whole(self) -> bool:
        """Whether it takes a carrier wherever there is room for all that is on it."""
        return self.habit == "commit" and self.takes == "carriers"


@dataclass(frozen=True, slots=True)
class Need:
    """`amount` [units] of `material` that a cycle takes; `cap` [units] that the station holds."""

    material: str
    amount: int
    cap: int


@dataclass(frozen=True, slots=True)
class Drawer:
    """A station that draws on the loop. `cycle` [s] is the longest, `usual` [s] that of the batches
    that come where no applicator lacks anything; `made` [(output, units)] is the most that a cycle
    gives, `outlet_cap` [units] what may wait of each output. `graded` says that marks change the
    time of its cycles."""

    station: str
    recipe: str
    cycle: Fraction
    usual: Fraction
    needs: tuple[Need, ...]
    made: tuple[tuple[str, int], ...]
    outlet_cap: int
    graded: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """One closed loop of a layout, or a mixed lane that ends nowhere.

    `kind` is loop, sorted loop (its leftovers come back on sidings, as `sorting` says), tangle
    (other belts that feed each other in more than one ring) or dead end. `belts` with their
    `lengths` [cells] run downstream from the gate; of a sorted loop first the row, then sidings and
    feeds. `speed` [cells/s] is None where the belts differ. `seam` is the belt at whose last cell
    the ring is broken. `rule` is that of the gate, or none; drained where what comes back has
    places in the pattern, sorted where it has sidings and the gate is ratio-locked. `quotas` holds
    one entry for each material that can enter, None where there is no limit; `counted` says that
    the gate counts the carriers on just these belts. `strangers` and `exits` say in words what else
    comes in and goes out. `stacks` [units] is what a full carrier holds of each material; `alone`
    says that nothing is brought to the stations from elsewhere. `waste` is the way out to a drain,
    if there is one that never stands.
    """

    kind: str
    belts: tuple[str, ...]
    lengths: tuple[int, ...]
    speed: Fraction | None
    seam: str
    gate: str | None
    rule: str
    main: str | None
    shares: tuple[tuple[str, int], ...]
    pattern: tuple[str, ...]
    quotas: tuple[tuple[str, int | None], ...]
    window: int
    counted: bool
    feeds: tuple[Feed, ...]
    taps: tuple[Tap, ...]
    drawers: tuple[Drawer, ...]
    strangers: tuple[str, ...]
    exits: tuple[str, ...]
    stacks: tuple[tuple[str, int], ...] = ()
    alone: bool = True
    waste: Waste | None = None
    sorting: Sorting | None = None

    @property
    def name(self) -> str:
        """The loop goes by its first belt."""
        return self.belts[0]

    @property
    def cells(self) -> int:
        """L: all cells of the loop."""
        return sum(self.lengths)

    @property
    def materials(self) -> tuple[str, ...]:
        """What can enter, in the order of the gate's inlets."""
        return tuple(material for material, _ in self.quotas)

    @property
    def needed(self) -> tuple[str, ...]:
        """What can enter and is an input of some station on the loop."""
        wanted = {need.material for drawer in self.drawers for need in drawer.needs}
        return tuple(material for material in self.materials if material in wanted)

    @property
    def elsewhere(self) -> tuple[str, ...]:
        """Inputs of the stations that do not come by the loop, by name."""
        wanted = {need.material for drawer in self.drawers for need in drawer.needs}
        return tuple(sorted(wanted - set(self.materials)))

    @property
    def shares_docks(self) -> bool:
        """Whether docks of this loop serve others too."""
        return any(feed.shared for feed in self.lanes)

    @property
    def lanes(self) -> tuple[Feed, ...]:
        """The supply belts of single materials, behind a mix too."""
        parts = ((feed,) if feed.mix is None else feed.mix.parts for feed in self.feeds)
        return tuple(feed for own in parts for feed in own)

    @property
    def served_late(self) -> bool:
        """Whether others may take of what comes before it comes to this loop."""
        return any(feed.way is not None and feed.way.stations for feed in self.lanes)

    @property
    def mixed(self) -> bool:
        """Whether some station has to get two or more of its inputs from this loop."""
        return any(
            len({need.material for need in drawer.needs} & set(self.materials)) > 1
            for drawer in self.drawers
        )

    def taps_of(self, station: str) -> tuple[Tap, ...]:
        """The pickers from the loop into `station` that see all that comes round."""
        return tuple(
            tap
            for tap in self.taps
            if tap.target == station and not tap.seam and tap.belt not in self.aside
        )

    @property
    def aside(self) -> tuple[str, ...]:
        """Belts that not all that comes round passes."""
        if self.sorting is not None:
            return tuple(belt for belt in self.belts if belt not in self.sorting.before)
        return self.waste.past if self.waste is not None else ()

    def sure_taps(self, station: str) -> tuple[Tap, ...]:
        """Those of them that pick in the end what their station lacks: free ones, and those that
        take whole carriers and can hold one."""
        wanted = {n.material for d in self.drawers if d.station == station for n in d.needs}
        most = max((self.most_on(m) for m in self.materials if m in wanted), default=0)
        taps = self.taps_of(station)
        return tuple(tap for tap in taps if tap.free or (tap.whole and tap.hand >= most))

    def most_on(self, material: str) -> int:
        """Units on a carrier of `material` at most: fresh, or full at a primed start."""
        loads = [feed.load for feed in self.lanes if feed.material == material]
        return max([*loads, dict(self.stacks).get(material, 1)])

    def grain(self, need: Need) -> int:
        """The units that a station holds of an input change by multiples of this: more than 1 only
        where all carriers are taken whole, nothing else comes to the stations, and how the loop
        starts is taken for granted, as it is not where it is drained or sorted."""
        loads = {feed.load for feed in self.lanes if feed.material == need.material}
        loads.add(dict(self.stacks).get(need.material, 1))
        free = self.waste is not None or self.sorting is not None
        whole = not free and all(tap.whole for tap in self.taps)
        pure = self.alone and whole and len(loads) == 1
        return gcd(need.amount, *loads) if pure else 1

    def least_cap(self, drawer: Drawer, need: Need) -> int:
        """The cap with which no station waits for what passes it: a cycle's units, and where
        carriers are taken whole also room for one beside the most that is short of a cycle."""
        free = any(tap.free for tap in self.taps_of(drawer.station))
        if free or need.material not in self.materials:
            return need.amount
        return need.amount + self.most_on(need.material) - self.grain(need)

    def least_held(self, need: Need) -> int:
        """Units that a station holds at least while it leaves a carrier of this input."""
        if all(any(tap.free for tap in self.taps_of(d.station)) for d in self.drawers):
            return need.cap
        return max(0, need.cap - self.most_on(need.material) + 1)

    def pattern_of(self) -> tuple[str, ...]:
        """The pattern of a ratio-locked gate, by material; no name for what comes back."""
        brings = {feed.belt: feed.material or "" for feed in self.feeds}
        if self.sorting is not None:
            brings = {siding.feed: brings[siding.supply] for siding in self.sorting.sidings}
        return tuple(brings.get(inlet, "") for inlet in self.pattern)

    def places(self, material: str) -> Fraction:
        """Places of `material` in the pattern; of those of a mix it has its share."""
        if self.sorting is not None:
            return Fraction(self.pattern_of().count(material))
        found = Fraction(0)
        for feed in self.feeds:
            share = Fraction(feed.material == material)
            if feed.mix is not None:
                share = dict(feed.mix.shares).get(material, Fraction(0))
            found += share * self.pattern.count(feed.belt)
        return found

    def shape(self) -> tuple[object, ...]:
        """Equal for loops that differ in names only."""
        names = {drawer.station: number for number, drawer in enumerate(self.drawers)}
        places = {belt: number for number, belt in enumerate(self.belts)}
        return (
            (self.kind, self.lengths, self.speed, places[self.seam], self.rule, self.quotas),
            (self.shares, self.pattern_of(), self.window, self.counted),
            tuple((f.material, f.load, f.prompt, len(f.docks), f.shared) for f in self.feeds),
            tuple((f.way.brings, f.way.uses) for f in self.lanes if f.way is not None),
            tuple(
                (m.shares, m.leaves, m.round, m.back, m.cells, m.slack, m.prompt)
                for m in (feed.mix for feed in self.feeds)
                if m is not None
            ),
            tuple(
                (names.get(tap.target), places[tap.belt], tap.index, tap.habit, tap.hand, tap.swing)
                for tap in self.taps
            ),
            tuple(tap.takes for tap in self.taps),
            tuple((d.recipe, d.cycle, d.needs, d.made, d.outlet_cap) for d in self.drawers),
            tuple((drawer.graded, drawer.usual) for drawer in self.drawers),
            (len(self.strangers), len(self.exits), self.stacks, self.alone),
            self.waste is not None,
            self._sorting_shape(),
        )

    def _sorting_shape(self) -> tuple[object, ...]:
        if self.sorting is None:
            return ()
        sidings = self.sorting.sidings
        return (
            self.sorting.rule,
            len(self.sorting.row),
            len(self.sorting.before),
            tuple((siding.cells, siding.row, siding.first) for siding in sidings),
            tuple(siding.takes & set(self.materials) for siding in sidings),
        )
