"""Disturbances -> arrays."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, TypeVar

from loopwright.simulate import columns as col
from loopwright.simulate.clock import cycles_of, whole_ticks
from loopwright.simulate.columns import Part
from loopwright.simulate.disturbance import Arrivals, Foreign, Law, Removal, Slow
from loopwright.simulate.draw import Table, curve, stream, table, threshold
from loopwright.simulate.kind import Kind
from loopwright.simulate.limit import LayoutError, within
from loopwright.simulate.numbering import Numbering

NO_END = 2**62
Entry = TypeVar("Entry")


def chosen(
    entries: Iterable[Entry], key: Callable[[Entry], str], names: Mapping[str, int]
) -> dict[str, Entry]:
    """The entries about devices of this part, by name."""
    return {key(entry): entry for entry in entries if key(entry) in names}


@dataclass
class Mishaps:
    """The disturbances of one part, each kind in the order of its numbers."""

    names: Numbering
    laws: list[Table] = field(default_factory=list)

    def __post_init__(self) -> None:
        names, told = self.names, self.names.scenario.disturbances
        self.paces = chosen(told.paces, lambda e: e.station, names.station)
        self.failures = chosen(told.failures, lambda e: e.station, names.station)
        self.missed = chosen(told.missed, lambda e: e.picker, names.picker)
        docks = {source.name: number for number, source in enumerate(names.sources)}
        self.gaps = chosen(told.arrivals, lambda e: e.source, docks)
        self.slow = [slow for slow in told.slow if slow.belt in names.belt]
        by_hand: tuple[Foreign | Removal, ...] = (*told.foreign, *told.removals)
        self.acts = sorted(
            (
                (whole_ticks(act.at, names.tick), order, act)
                for order, act in enumerate(by_hand)
                if act.belt in names.belt
            ),
            key=lambda entry: entry[:2],
        )
        self.pace_laws = [
            self._law(name, entry.law, names.recipes[names.station[name]].cycle)
            for name, entry in self.paces.items()
        ]
        self.grade_laws = {
            name: [
                self._law(name, entry.law, cycle)
                for cycle in cycles_of(names.recipes[names.station[name]])[1:]
            ]
            for name, entry in self.paces.items()
        }
        self.failure_laws = [
            (self._law(name, entry.law, entry.up), self._law(name, entry.law, entry.down))
            for name, entry in self.failures.items()
        ]
        self.pieces = {
            source.name: self._pieces(source.name, source.rate) for source in names.sources
        }

    @property
    def sizes(self) -> dict[str, int]:
        """The extent of every dimension."""
        return {
            "two": 2,
            "curve": col.CURVE + 2,
            "law": len(self.laws),
            "value": sum(len(law.values) for law in self.laws),
            "pace": len(self.paces),
            "breaker": len(self.failures),
            "brown": len(self.names.scenario.disturbances.brown_outs),
            "miss": len(self.names.pickers) if self.missed else 0,
            "gap": len(self.gaps),
            "piece": sum(map(len, self.pieces.values())),
            "slow": len(self.slow),
            "act": len(self.acts),
        }

    def _law(self, device: str, law: Law, mean: Fraction) -> int:
        found = table(device, law, mean, self.names.tick)
        if found not in self.laws:
            self.laws.append(found)
        return self.laws.index(found)

    def _pieces(self, source: str, rate: Fraction | None) -> list[tuple[int, Fraction, int]]:
        """First tick, rate and law of the arrivals; nothing for a source of one steady rate."""
        told = self.names.scenario.disturbances.supplies
        later = sorted(
            (
                (whole_ticks(e.start, self.names.tick), e.start, e.rate)
                for e in told
                if e.source == source
            ),
            key=lambda piece: piece[1],
        )
        gap = self.gaps.get(source)
        if not later and gap is None:
            return []
        if rate is None:
            raise LayoutError(f"{source}: it has no rate that could change or be drawn about")
        if gap is not None and any(r <= 0 for r in (rate, *(r for _, _, r in later))):
            raise LayoutError(f"{source}: arrivals by chance need a rate above 0")
        return [
            (begin, at, -1 if gap is None else self._law(source, gap.law, 1 / at))
            for begin, at in [(-1, rate), *((begin, at) for begin, _, at in later)]
        ]


def encode_chance(mishaps: Mishaps, part: Part) -> None:
    """Write all that does not change of disturbances."""
    names, chance = mishaps.names, part.chance
    chance.seed[0] = names.scenario.seed & (2**32 - 1)
    chance.curve[:-1] = curve()
    _laws(mishaps.laws, chance)
    part.stations.pace[:] = part.stations.breaker[:] = -1
    part.stations.rows["varies"] = len(chance.browns) > 0
    for number, (name, law) in enumerate(zip(mishaps.paces, mishaps.pace_laws, strict=True)):
        part.stations.pace[names.station[name]] = number
        part.stations.rows[names.station[name]].varies = 1
        _name(chance.paces[number], "cycle", name)
        chance.paces[number].law = law
    _breakers(mishaps, part)
    for row, brown in zip(chance.browns, names.scenario.disturbances.brown_outs, strict=True):
        if brown.speed <= 0:
            raise LayoutError(f"a brown-out with a speed of {brown.speed}")
        row.begin = whole_ticks(brown.start, names.tick)
        row.end = whole_ticks(brown.start + brown.span, names.tick)
        row.under, row.over = brown.speed.as_integer_ratio()
    for name, missed in mishaps.missed.items():
        number = names.picker[name]
        if not 0 <= missed.share < 1:
            raise LayoutError(f"{name}: it misses {missed.share} of its picks, below 1 fits")
        part.pickers.rows[number].misses = 1
        _name(chance.misses[number], "pick", name)
        chance.misses[number].below = threshold(missed.share)
    _slow(mishaps, part)
    for row, (tick, _, act) in zip(chance.acts, mishaps.acts, strict=True):
        row.tick, row.belt, row.cell = tick, names.belt[act.belt], act.index
        _need_cell(names, act.belt, act.index)
        if isinstance(act, Foreign):
            bit = names.palette_bits(act.belt)[Kind(act.material)]
            units = within(act.belt, "a foreign carrier", act.units, col.COUNT_MASK)
            row.code = 1 << (bit + col.COUNT_BITS) | units


def _name(row: Any, kind: str, device: str) -> None:
    row.high, row.low = stream(kind, device)


def _laws(laws: Iterable[Table], chance: Any) -> None:
    first = 0
    for row, law in zip(chance.laws, laws, strict=True):
        row.kind, row.low, row.span = law.kind, law.low, law.span
        row.middle, row.shift = law.mean, law.shift
        row.first, row.count = first, len(law.values)
        chance.values[first : first + row.count] = law.values
        first += row.count


def _breakers(mishaps: Mishaps, part: Part) -> None:
    clocks = {"work": col.ON_WORK, "time": col.ON_TIME}
    rows = zip(part.chance.breakers, mishaps.failures.items(), mishaps.failure_laws, strict=True)
    for number, (row, (name, failure), laws) in enumerate(rows):
        if failure.clock not in clocks:
            raise LayoutError(f"{name}: its failures count {failure.clock}, not work or time")
        row.station, row.clock = mishaps.names.station[name], clocks[failure.clock]
        part.stations.breaker[row.station] = number
        part.stations.rows[row.station].fails = 1
        row.up, row.down = laws
        row.up_high, row.up_low = stream("life", name)
        row.down_high, row.down_low = stream("repair", name)


def _slow(mishaps: Mishaps, part: Part) -> None:
    names = mishaps.names
    for row, slow in zip(part.chance.slows, mishaps.slow, strict=True):
        row.belt = names.belt[slow.belt]
        part.belts.rows[row.belt].odd |= col.SLOWED
        _check_slow(names, slow)
        row.cell = -1 if slow.index is None else slow.index
        row.every, row.below = slow.every, threshold(slow.refuses)
        _name(row, "slow", slow.belt if slow.index is None else f"{slow.belt} {slow.index}")


def _check_slow(names: Numbering, slow: Slow) -> None:
    if slow.index is not None:
        _need_cell(names, slow.belt, slow.index, "that is not its last")
    if slow.every < 1 or not 0 <= slow.refuses <= 1:
        raise LayoutError(f"{slow.belt}: a slow cell of every {slow.every}, {slow.refuses} refused")


def _need_cell(names: Numbering, belt: str, index: int, what: str = "") -> None:
    cells = len(names.wiring.belts[belt].path) - bool(what)
    if not 0 <= index < cells:
        raise LayoutError(f"{belt}: no cell {index} {what}".rstrip())


def encode_supplies(mishaps: Mishaps, part: Part) -> None:
    """The rates of sources over time, and what arrives by chance; credits are in parts already."""
    names, chance = mishaps.names, part.chance
    first = 0
    part.joints.sources["gap"] = -1
    numbers = {name: number for number, name in enumerate(mishaps.gaps)}
    for row, source in zip(part.joints.sources, names.sources, strict=True):
        pieces = mishaps.pieces[source.name]
        row.piece_first, row.piece_last = first, first + len(pieces)
        for place, (begin, rate, law) in enumerate(pieces, first):
            piece = chance.pieces[place]
            gain = rate / names.wiring.belts[source.belt].speed * int(row.one)
            piece.begin, piece.gain, piece.law = begin, int(gain), law
        first += len(pieces)
        gap: Arrivals | None = mishaps.gaps.get(source.name)
        if gap is not None:
            row.gap = numbers[source.name]
            at = chance.gaps[row.gap]
            _name(at, "gap", source.name)
            at.most = NO_END if gap.queue is None else gap.queue * row.one
