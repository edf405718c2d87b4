"""Every array of the engine: its name, type, shape and unit.

Devices are rows of records, described in `records.py`. The other arrays are described by the text
beside their name: `dtype (shape) [unit]`. The arrays are made from these very texts, so there is
no second list to keep in step.

A layout falls into parts that do not touch each other; each part has its own set of arrays, in
which devices are numbered from 0 in the natural order of their names (pickers: in pick order).

A cell is one unsigned number: 0 when empty, else the count of units in its low 4 bits and one
bit above them for the kind: a material with a mark. Which bit stands for which kind is told by
the palette of the group of belts that hand carriers to each other. Wherever else a column speaks
of a material, it means a kind.

Things that may be able to act are marked by a bit in `scan`, `drops`, `check` and `ready`, 32 to a
word, so that nobody has to be asked who has no reason to have changed his mind.
"""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from loopwright.simulate import records

Array = np.ndarray[Any, np.dtype[Any]]
Records = Any
"""An array of records; numpy has no type that knows their fields."""

COUNT_BITS = 4
COUNT_MASK = 15
LANES = 32
"""Cells that one wide comparison looks at; also the padding behind each belt."""
WORD_BITS = 5
"""A word of marks holds 2**5 bits."""
STRETCH = LANES << WORD_BITS
"""Cells, a whole number of wide comparisons, of which the hits are gathered at once."""

HEAD_OPEN, HEAD_DRAIN, HEAD_DIVERT = 0, 1, 2
TAIL_OPEN, TAIL_SOURCE, TAIL_JOINT = 0, 1, 2
ALTERNATE, PRIORITY, RATIO, COUNTED, WINDOWED, SCARCEST = 0, 1, 2, 3, 4, 5
OVERFLOW, BY_MATERIAL = 2, 3
AT_BELT, AT_STATION, AT_STORE = 0, 1, 2
IDLE, SWINGING, HOLDING, PLACING = 0, 1, 2, 3
BUSY, BLOCKED, DOWN = -1, -2, -3
"""Status of a station; 0 and above: starved for the input of that number."""
FIXED, UNIFORM, EXPONENTIAL, GEOMETRIC, EMPIRICAL = 0, 1, 2, 3, 4
ON_WORK, ON_TIME = 0, 1
SLOWED, TREATED = 1, 2
"""What is odd about a belt: some rows of `slows` are about it; an applicator is over it."""
CURVE = 1024
"""Steps of the curve by which exponential times are drawn."""


def column_of(text: str, cell: str) -> tuple[np.dtype[Any], tuple[str, ...], str]:
    """What `text` says of an array: the type of an entry, the names of the extents, and the name
    of the record if it holds such; `cell` is the type of a cell."""
    kind, rest = text.split(" (", 1)
    extents = tuple(rest.split(")", 1)[0].split(", "))
    if not kind.isupper():
        return np.dtype(cell if kind == "cell" else kind), extents, ""
    fields: records.Fields = getattr(records, kind)
    record = np.dtype([(name, dtype) for name, dtype, _, _ in fields], align=True)
    return record, extents, kind


class Clock(NamedTuple):
    """Time, and a wheel of lists of what is due; its actors are stations, pickers, breakers and,
    last, what is done by hand."""

    time: Annotated[Records, "CLOCK (one)"]
    wheel: Annotated[Array, "int32 (slot) [actor]"]
    behind: Annotated[Array, "int32 (actor) [actor]"]


class Belts(NamedTuple):
    """Belts, their cells, and what pickers want of each cell.

    `order` lists the belts downstream first. `want` are the bits that some idle picker would take
    from a cell, `watcher` is the first picker there. `placing` marks cells over which some picker
    waits for an empty one, `placer` is the first by name there. `scan` marks belts where a picker
    may find something, `hits` the cells where he does, `drops` belts where a placing picker may
    act. `bit` and `material` translate between materials and bits (-1: not in the palette);
    `alike` are the bits of all marks of a material.
    """

    rows: Annotated[Records, "BELT (belt)"]
    cells: Annotated[Array, "cell (buffer) [carrier]"]
    order: Annotated[Array, "int32 (belt) [belt]"]
    want: Annotated[Array, "cell (watch) [carrier]"]
    watcher: Annotated[Array, "int32 (watch) [picker]"]
    placing: Annotated[Array, "int64 (drop word) [mark]"]
    placer: Annotated[Array, "int32 (drop) [picker]"]
    scan: Annotated[Array, "int64 (belt word) [mark]"]
    hits: Annotated[Array, "int64 (block) [mark]"]
    drops: Annotated[Array, "int64 (belt word) [mark]"]
    on_belt: Annotated[Array, "int64 (belt, bit) [carrier]"]
    bit: Annotated[Array, "int8 (palette, material) [bit]"]
    material: Annotated[Array, "int32 (palette, bit) [material]"]
    alike: Annotated[Array, "int64 (palette, bit) [bit]"]


class Joints(NamedTuple):
    """What feeds and relieves belts: merges and gates (in this order), side merges (by main belt),
    diverts, sources and drains. `filter` is the outlet of a divert for each bit."""

    rows: Annotated[Records, "JOINT (joint)"]
    inlets: Annotated[Records, "INLET (inlet)"]
    flanks: Annotated[Records, "FLANK (flank)"]
    diverts: Annotated[Records, "DIVERT (divert)"]
    outlets: Annotated[Records, "OUTLET (outlet)"]
    filter: Annotated[Array, "int32 (divert, bit) [outlet]"]
    sources: Annotated[Records, "SOURCE (source)"]
    outages: Annotated[Records, "OUTAGE (outage)"]
    drained: Annotated[Array, "int64 (drain, bit) [carrier]"]
    drained_units: Annotated[Array, "int64 (drain, bit) [unit]"]


class Gates(NamedTuple):
    """What only gates know. `window` holds the bits passed (-1: nothing), `window_count` how often
    each bit is in it."""

    rows: Annotated[Records, "GATE (gate)"]
    quota: Annotated[Array, "int64 (gate, bit) [carrier]"]
    share: Annotated[Array, "int64 (gate, bit) [part]"]
    pattern: Annotated[Array, "int32 (place) [inlet]"]
    window: Annotated[Array, "int8 (action) [bit]"]
    window_count: Annotated[Array, "int64 (gate, bit) [action]"]
    loop: Annotated[Array, "int32 (loop) [belt]"]


class Stations(NamedTuple):
    """Stations and stores. `check` marks stations that may be able to start a cycle; `down` counts
    ticks; `pace` and `breaker` are -1 for those that have none."""

    rows: Annotated[Records, "STATION (station)"]
    inputs: Annotated[Records, "INPUT (input)"]
    outputs: Annotated[Records, "OUTPUT (output)"]
    check: Annotated[Array, "int64 (station word) [mark]"]
    down: Annotated[Array, "int64 (station) [tick]"]
    pace: Annotated[Array, "int32 (station) [pace]"]
    breaker: Annotated[Array, "int32 (station) [breaker]"]
    stores: Annotated[Records, "STORE (store)"]
    held: Annotated[Array, "int64 (store, material) [unit]"]


class Pickers(NamedTuple):
    """Pickers. `ready` marks those at stations and stores who are idle again, or may find more to
    take or more room than before.

    A taste is what pickers from one palette to stations with the same inputs share: the input
    (counted from the station's first, -1: none) of each material, and the bit of each input.
    """

    rows: Annotated[Records, "PICKER (picker)"]
    feeders: Annotated[Array, "int32 (feeder) [picker]"]
    ready: Annotated[Array, "int64 (picker word) [mark]"]
    taste_slot: Annotated[Array, "int32 (taste, material) [input]"]
    taste_bits: Annotated[Array, "int64 (taste, slot of taste) [carrier]"]


class Treatment(NamedTuple):
    """Applicators, and what their marks do.

    An applicator with its tank is a station that takes the agent in and never starts a cycle; these
    come behind the stations of the layout. `raised` is the bit that a carrier has afterwards, -1 if
    it stays as it is; `level` the mark of each material. `held` counts units of mark 1, 2 and so
    on in the inputs of stations with grades, `batch` is the grade of the cycle of each station.
    """

    rows: Annotated[Records, "APPLICATOR (applicator)"]
    raised: Annotated[Array, "int32 (applicator, bit) [bit]"]
    level: Annotated[Array, "int32 (material) [mark]"]
    held: Annotated[Array, "int32 (input, level) [unit]"]
    batch: Annotated[Array, "int32 (station) [grade]"]
    grade_first: Annotated[Array, "int32 (station) [grade]"]
    grades: Annotated[Records, "GRADE (grade)"]
    made: Annotated[Records, "MADE (made)"]


class Chance(NamedTuple):
    """What goes wrong. `curve` is -ln(1 - j / 2 CURVE) [2**-20]; `by_hand` counts units put and
    units taken off."""

    seed: Annotated[Array, "int64 (one) [seed]"]
    curve: Annotated[Array, "int64 (curve) [part]"]
    laws: Annotated[Records, "LAW (law)"]
    values: Annotated[Array, "int64 (value) [tick]"]
    paces: Annotated[Records, "PACE (pace)"]
    breakers: Annotated[Records, "BREAKER (breaker)"]
    browns: Annotated[Records, "BROWN (brown)"]
    misses: Annotated[Records, "MISS (miss)"]
    gaps: Annotated[Records, "GAP (gap)"]
    pieces: Annotated[Records, "PIECE (piece)"]
    slows: Annotated[Records, "SLOW (slow)"]
    acts: Annotated[Records, "ACT (act)"]
    by_hand: Annotated[Array, "int64 (two, material) [unit]"]


class Part(NamedTuple):
    """All arrays of one part of a layout."""

    clock: Clock
    belts: Belts
    joints: Joints
    gates: Gates
    stations: Stations
    pickers: Pickers
    treatment: Treatment
    chance: Chance
