"""What goes wrong in a run, by the names of devices."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Law:
    """How a time is drawn about the mean that its device has.

    `kind` is fixed, uniform (within `spread`, a share of the mean, on both sides), exponential,
    geometric (in whole ticks) or empirical (one of `values` [s], each as likely as the others,
    whatever the mean).
    """

    kind: str = "fixed"
    spread: Fraction = Fraction(0)
    values: tuple[Fraction, ...] = ()


@dataclass(frozen=True, slots=True)
class Pace:
    """The cycles of `station` are drawn by `law`; their mean is the cycle of its recipe."""

    station: str
    law: Law


@dataclass(frozen=True, slots=True)
class Failure:
    """`station` fails after `up` [s] on average and is repaired in `down` [s] on average, both by
    `law`. `clock` says which time counts until a failure: work (its busy time) or time (all)."""

    station: str
    up: Fraction
    down: Fraction
    clock: str = "work"
    law: Law = Law("geometric")


@dataclass(frozen=True, slots=True)
class Missed:
    """`picker` misses this `share` of its picks: it swings for nothing."""

    picker: str
    share: Fraction


@dataclass(frozen=True, slots=True)
class Arrivals:
    """Carriers arrive at the dock `source` at times drawn by `law`, at its rate on average.

    `queue` carriers may wait there, further ones are lost; None: any number.
    """

    source: str
    law: Law
    queue: int | None = 1


@dataclass(frozen=True, slots=True)
class Supply:
    """From `start` [s] on `source` has `rate` [carriers/s], until its next such entry."""

    source: str
    start: Fraction
    rate: Fraction


@dataclass(frozen=True, slots=True)
class BrownOut:
    """For `span` [s] from `start` [s] on all cycles that start run at `speed` times the speed."""

    start: Fraction
    span: Fraction
    speed: Fraction


@dataclass(frozen=True, slots=True)
class Slow:
    """Cell `index` of `belt` lets a carrier go on only at every `every`-th step of the belt, and
    refuses a share `refuses` of these, by chance. Without `index`: the whole belt steps so."""

    belt: str
    index: int | None = None
    every: int = 1
    refuses: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Foreign:
    """Somebody puts a carrier on a cell at `at` [s] and takes off what is there."""

    belt: str
    index: int
    material: str
    units: int
    at: Fraction


@dataclass(frozen=True, slots=True)
class Removal:
    """Somebody takes off what is on a cell at `at` [s]."""

    belt: str
    index: int
    at: Fraction


@dataclass(frozen=True, slots=True)
class Disturbances:
    """All of them; none unless told."""

    paces: tuple[Pace, ...] = ()
    failures: tuple[Failure, ...] = ()
    missed: tuple[Missed, ...] = ()
    arrivals: tuple[Arrivals, ...] = ()
    supplies: tuple[Supply, ...] = ()
    brown_outs: tuple[BrownOut, ...] = ()
    slow: tuple[Slow, ...] = ()
    foreign: tuple[Foreign, ...] = ()
    removals: tuple[Removal, ...] = ()


NO_DISTURBANCES = Disturbances()
