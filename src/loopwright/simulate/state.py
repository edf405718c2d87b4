"""The whole state of a run at one tick, by name, so that any engine can go on from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

Carrier = tuple[str, int]
"""Material and units on one cell."""


@dataclass(frozen=True, slots=True)
class StationState:
    """`inputs` and `outlet` [units] of every material of the recipe; `kept` is the fraction of each
    output kept over; `due` is the tick at which the cycle ends, None while idle; `down` the
    tick at which it is up again, None while it is up; `life` the ticks on its clock until it fails,
    None if it does not. `marked` are those units of the inputs that have the mark 1, 2 and so on,
    of inputs with any; `grade` is that of the batch in the cycle."""

    inputs: Mapping[str, int]
    outlet: Mapping[str, int]
    kept: Mapping[str, Fraction]
    due: int | None
    down: int | None = None
    life: int | None = None
    marked: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    grade: int = 0


@dataclass(frozen=True, slots=True)
class PickerState:
    """`phase` is idle, swinging, holding or placing; idle means `material` None and `count` 0,
    and so does a swing for nothing.

    `due` is the tick at which the swing ends, None unless swinging; `mark` that of what it holds.
    """

    phase: str
    material: str | None
    count: int
    due: int | None
    mark: int = 0


@dataclass(frozen=True, slots=True)
class ApplicatorState:
    """Agent in the tank and what is left of the last unit opened [units]; `credit` [units] that it
    may mark, 0 where it has no rate."""

    held: int
    left: Fraction
    credit: Fraction


@dataclass(frozen=True, slots=True)
class SourceCount:
    """Carriers and units put; steps refused by a full tail cell. Where carriers arrive by chance:
    how many did, and were lost."""

    carriers: int
    units: int
    refused: int
    arrived: int = 0
    lost: int = 0


@dataclass(frozen=True, slots=True)
class DrainCount:
    """Carriers and units taken, by material (materials never seen are left out)."""

    carriers: Mapping[str, int]
    units: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class JointCount:
    """Of a merge, side merge or gate: actions with an empty cell, and carriers passed by inlet."""

    offered: int
    passed: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class StationCount:
    """Cycles started and ended; ticks busy, blocked, starved by missing material and
    down; failures. `graded` are the cycles ended with a batch of grade 1, 2 and so on."""

    started: int
    ended: int
    busy: int
    blocked: int
    starved: Mapping[str, int]
    down: int = 0
    failed: int = 0
    graded: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class ApplicatorCount:
    """Carriers and units marked, units of agent opened; steps of the belt at which a carrier went
    without for want of agent (`dry`) or of credit (`late`)."""

    carriers: int
    units: int
    spent: int
    dry: int
    late: int


@dataclass(frozen=True, slots=True)
class Counters:
    """All counters since the start state, by device name. `diverts`: passed by outlet; `missed`:
    picks missed, of pickers that missed any; `put` and `removed`: units by hand, by material."""

    sources: Mapping[str, SourceCount]
    drains: Mapping[str, DrainCount]
    joints: Mapping[str, JointCount]
    diverts: Mapping[str, tuple[int, ...]]
    stations: Mapping[str, StationCount]
    picks: Mapping[str, int]
    missed: Mapping[str, int] = field(default_factory=dict)
    put: Mapping[str, int] = field(default_factory=dict)
    removed: Mapping[str, int] = field(default_factory=dict)
    applicators: Mapping[str, ApplicatorCount] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class State:
    """`belts` lists cells tail first. `turns`: the index to be tried first by each alternating
    merge, alternating divert and gate (for ratio-locked, the place in its pattern), 0 for the
    rest. `windows`: what the last `window - 1` actions of each windowed gate passed, oldest first.
    `credits` [carriers] of each source with a rate; `arrivals` [tick] of the next carrier at each
    source where they arrive by chance. `marks` of the cells of each belt with a marked carrier;
    `marked` units in each store that have the mark 1, 2 and so on, of materials with any."""

    tick: int
    belts: Mapping[str, tuple[Carrier | None, ...]]
    stations: Mapping[str, StationState]
    pickers: Mapping[str, PickerState]
    stores: Mapping[str, Mapping[str, int]]
    turns: Mapping[str, int]
    windows: Mapping[str, tuple[str | None, ...]]
    credits: Mapping[str, Fraction]
    counters: Counters
    arrivals: Mapping[str, int] = field(default_factory=dict)
    marks: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    marked: Mapping[str, Mapping[str, tuple[int, ...]]] = field(default_factory=dict)
    applicators: Mapping[str, ApplicatorState] = field(default_factory=dict)
