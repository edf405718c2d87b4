"""What a run reads like: rates, waiting times, use of joints, stock. Exact, from counters.

Whatever is counted is read after the warm-up: counters at the end less those at its end. What is
held is read at the end of the run. The balance covers the whole run.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property


@dataclass(frozen=True, slots=True)
class DrainReading:
    """One drain: `rates` [units/s] by material, `carriers` [carriers/s] in all."""

    name: str
    belt: str
    purpose: str
    rates: Mapping[str, Fraction]
    carriers: Fraction

    @property
    def rate(self) -> Fraction:
        """All materials together [units/s]."""
        return sum(self.rates.values(), Fraction(0))


@dataclass(frozen=True, slots=True)
class Series:
    """Rate in each bin: `ends` [s] of the bins and `rates` [units/s]; the last may be short."""

    ends: tuple[Fraction, ...]
    rates: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class TimeShares:
    """How one station, or a row of `stations`, spent its time: shares that add up to 1.

    `starved` by the material that was missing; materials never missed are left out.
    """

    name: str
    row: str
    stations: int
    busy: Fraction
    blocked: Fraction
    starved: Mapping[str, Fraction]
    down: Fraction = Fraction(0)

    @property
    def waiting(self) -> Fraction:
        """Share of time starved of anything."""
        return sum(self.starved.values(), Fraction(0))


@dataclass(frozen=True, slots=True)
class JointReading:
    """One gate, merge or side merge (`kind`).

    `steps` of the belt it feeds; `offered` of these found the cell empty; `passed` carriers by
    inlet. `main` names the inlet that goes first in a gate of a loop.
    """

    name: str
    kind: str
    belt: str
    steps: int
    offered: int
    passed: tuple[tuple[str, int], ...]
    main: str | None = None

    @property
    def total(self) -> int:
        """Carriers passed."""
        return sum(count for _, count in self.passed)

    @property
    def use(self) -> Fraction | None:
        """Share of the offered cells that were filled; None where none was offered."""
        return Fraction(self.total, self.offered) if self.offered else None

    @property
    def flow(self) -> Fraction:
        """Carriers passed for each step of the belt."""
        return Fraction(self.total, self.steps) if self.steps else Fraction(0)

    @property
    def returned(self) -> Fraction:
        """Share of the passed carriers that came back by the main inlet."""
        back = dict(self.passed).get(self.main, 0) if self.main else 0
        return Fraction(back, self.total) if self.total else Fraction(0)


@dataclass(frozen=True, slots=True)
class SourceReading:
    """One source: `carriers` put, `rate` [units/s]; `refused` is the share of loads that were ready
    to go and found the belt's first cell full, None where none was ready."""

    name: str
    belt: str
    material: str
    carriers: int
    rate: Fraction
    refused: Fraction | None


@dataclass(frozen=True, slots=True)
class ApplicatorReading:
    """One applicator after the warm-up: carriers and `rate` [units/s] marked, `spent` [units/s] of
    its agent that was opened. Of the steps at which it could have marked a carrier, `dry` is the
    share without agent and `late` that without credit; None where there was no such step."""

    name: str
    belt: str
    agent: str
    carriers: int
    rate: Fraction
    spent: Fraction
    dry: Fraction | None
    late: Fraction | None


@dataclass(frozen=True, slots=True)
class PickerReading:
    """One picker: `use` is the share of time that its swings take."""

    name: str
    source: str
    target: str
    picks: int
    use: Fraction


@dataclass(frozen=True, slots=True)
class BeltReading:
    """What is on one belt at the end: `carriers` and `units` by material; `flow` is the carriers
    that left its head for each of its steps after the warm-up, None where nothing takes them."""

    name: str
    role: str
    cells: int
    carriers: Mapping[str, int]
    units: Mapping[str, int]
    flow: Fraction | None

    @property
    def fill(self) -> Fraction:
        """Share of the cells that hold a carrier."""
        return Fraction(sum(self.carriers.values()), self.cells)

    @property
    def load(self) -> Fraction | None:
        """Mean units on a carrier; None on an empty belt."""
        carriers = sum(self.carriers.values())
        return Fraction(sum(self.units.values()), carriers) if carriers else None


@dataclass(frozen=True, slots=True)
class Stock:
    """Units of one material held at the end, by where they are."""

    material: str
    belts: int
    hands: int
    stations: int
    stores: int

    @property
    def units(self) -> int:
        """In all."""
        return self.belts + self.hands + self.stations + self.stores


@dataclass(frozen=True, slots=True)
class MaterialBalance:
    """The account of one material over the whole run [units]: at hand at the start, put by docks
    and by hand, made by stations, used by these and by applicators, taken by drains and by hand,
    held at the end."""

    material: str
    start: int
    put: int
    made: int
    used: int
    taken: int
    held: int

    @property
    def came(self) -> int:
        """At hand at the start, put and made."""
        return self.start + self.put + self.made

    @property
    def holds(self) -> bool:
        """Whether nothing was lost and nothing came from nowhere."""
        return self.came == self.used + self.taken + self.held


@dataclass(frozen=True)
class Readings:
    """All readings of a run; `span` [s] is what was measured after the warm-up."""

    span: Fraction
    drains: tuple[DrainReading, ...]
    series: Series
    drain_series: Mapping[str, Series]
    rows: tuple[TimeShares, ...]
    stations: tuple[TimeShares, ...]
    joints: tuple[JointReading, ...]
    sources: tuple[SourceReading, ...]
    pickers: tuple[PickerReading, ...]
    belts: tuple[BeltReading, ...]
    stocks: tuple[Stock, ...]
    balance: tuple[MaterialBalance, ...]
    applicators: tuple[ApplicatorReading, ...] = ()

    @cached_property
    def rates(self) -> Mapping[str, Fraction]:
        """Rate of each material at all product drains [units/s]."""
        rates: dict[str, Fraction] = {}
        for drain in self.drains:
            for material, rate in drain.rates.items() if drain.purpose == "product" else ():
                rates[material] = rates.get(material, Fraction(0)) + rate
        return rates

    @property
    def rate(self) -> Fraction:
        """Product rate [units/s]: all that product drains took."""
        return sum(self.rates.values(), Fraction(0))

    def missing(self, target: Fraction) -> Fraction:
        """How much the product rate falls short of `target` [units/s]; 0 where it does not."""
        return max(Fraction(0), target - self.rate)

    def stations_of(self, row: str) -> tuple[TimeShares, ...]:
        """The stations of one row."""
        return tuple(station for station in self.stations if station.row == row)
