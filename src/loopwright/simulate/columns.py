"""Every array of the engine: its name, type, shape and unit.

Devices are rows of records; what has no fixed number per device is a table of its own, and row i
of the owner spans `<name>_first` to `<name>_last` in it. The records are the tables `CLOCK`,
`BELT` and so on below: name, type, unit and meaning of each field. The other arrays are described
by the text beside their name: `dtype (shape) [unit]`. The arrays are made from these very texts,
so there is no second list to keep in step.

A layout falls into parts that do not touch each other; each part has its own set of arrays, in
which devices are numbered from 0 in the natural order of their names (pickers: in pick order).

A cell is one unsigned number: 0 when empty, else the count of units in its low 4 bits and one
bit above them for the material. Which bit stands for which material is told by the palette of
the group of belts that hand carriers to each other.

Things that may be able to act are marked by a bit in `scan`, `drops`, `check` and `ready`, 32 to a
word, so that nobody has to be asked who has no reason to have changed his mind.
"""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

Array = np.ndarray[Any, np.dtype[Any]]
Records = Any
"""An array of records; numpy has no type that knows their fields."""

COUNT_BITS = 4
COUNT_MASK = 15
LANES = 32
"""Cells that one wide comparison looks at; also the padding behind each belt."""
WORD_BITS = 5
"""A word of marks holds 2**5 bits."""

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
CURVE = 1024
"""Steps of the curve by which exponential times are drawn."""

Fields = tuple[tuple[str, str, str, str], ...]
"""Name, dtype, unit and meaning of the fields of a record."""

CLOCK: Fields = (
    ("now", "int64", "tick", "the last tick carried out"),
    ("step_due", "int64", "tick", "when the next belt steps"),
    ("act", "int64", "act", "the next thing done by hand"),
)
BELT: Fields = (
    ("due", "int64", "tick", "when it steps next"),
    ("step", "int64", "tick", "time of a step"),
    ("origin", "int32", "cell", "its tail cell in `cells`; moves down when all carriers advance"),
    ("length", "int32", "cell", "how many cells it has"),
    ("room", "int32", "cell", "where its room of 2 x length + LANES in `cells` begins"),
    ("carriers", "int32", "carrier", "how many are on it"),
    ("solid", "int32", "cell", "cells known to be full up to the head, which itself may be empty"),
    ("stood", "int32", "cell", "cells up to the head that stayed at its last step"),
    ("watch", "int32", "cell", "its tail cell in `want` and `watcher`; -1: no picker takes here"),
    ("waiting", "int32", "picker", "first by name of the placing pickers over it, -1: none"),
    ("head_at", "int32", "drain or divert", "what takes from its head"),
    ("tail_at", "int32", "source or joint", "what feeds its tail"),
    ("flank_first", "int32", "flank", "side merges that end into it"),
    ("palette", "int16", "palette", "which bits stand for which materials"),
    ("flanks", "int16", "flank", "how many"),
    ("head", "int8", "head kind", "which kind `head_at` is"),
    ("tail", "int8", "tail kind", "which kind `tail_at` is"),
    ("counted", "int8", "-", "1 if `on_belt` is kept for it"),
    ("slow", "int8", "-", "1 if some rows of `slows` are about it"),
)
FLANK: Fields = (
    ("inlet", "int64", "belt", "what ends here"),
    ("cell", "int64", "cell", "where on the main belt"),
    ("offered", "int64", "action", "the cell was empty"),
    ("passed", "int64", "carrier", "entered"),
)
SOURCE: Fields = (
    ("cell", "int64", "carrier", "code of a full load"),
    ("credit", "int64", "part", "carriers it may put, in parts of which `one` make a carrier"),
    ("gain", "int64", "part/step", "credit gained in a step of its belt"),
    ("one", "int64", "part/carrier", "0 for a source without a rate"),
    ("carriers", "int64", "carrier", "put so far"),
    ("refused", "int64", "step", "had credit, but the tail cell was full"),
    ("outage_first", "int64", "outage", "its outages"),
    ("outage_last", "int64", "outage", "the end of these"),
    ("piece_first", "int64", "piece", "its rates over time; none if it has one for good"),
    ("piece_last", "int64", "piece", "the end of these"),
    ("gap", "int64", "gap", "how carriers arrive at it by chance, -1: they do not"),
)
OUTAGE: Fields = (
    ("begin", "int64", "tick", "the first tick without supply"),
    ("end", "int64", "tick", "the first tick with supply again"),
)
JOINT: Fields = (
    ("rule", "int64", "rule", "whom to let pass"),
    ("inlet_first", "int64", "inlet", "its inlets; main is the last"),
    ("fresh", "int64", "inlet", "how many inlets there are without main"),
    ("main", "int64", "belt", "the return, -1: none"),
    ("placed", "int64", "flag", "main has places in the pattern, in place of going first"),
    ("turn", "int64", "inlet or place", "whom to try first, or the place in the pattern"),
    ("offered", "int64", "action", "the tail cell was empty"),
    ("gate", "int64", "gate", "-1 for a merge"),
)
INLET: Fields = (
    ("belt", "int64", "belt", "whose head it takes from"),
    ("passed", "int64", "carrier", "passed so far"),
)
GATE: Fields = (
    ("pattern_first", "int64", "place", "its pattern"),
    ("pattern_last", "int64", "place", "the end of that"),
    ("window_first", "int64", "action", "its window, a ring"),
    ("window_last", "int64", "action", "the end of that"),
    ("window_at", "int64", "action", "the oldest action in the window, from its start"),
    ("loop_first", "int64", "loop belt", "the belts of its loop"),
    ("loop_last", "int64", "loop belt", "the end of these"),
)
DIVERT: Fields = (
    ("rule", "int64", "rule", "whither"),
    ("outlet_first", "int64", "outlet", "its outlets"),
    ("outlets", "int64", "outlet", "how many"),
    ("turn", "int64", "outlet", "which to try first"),
)
OUTLET: Fields = (
    ("belt", "int64", "belt", "whose tail it feeds"),
    ("passed", "int64", "carrier", "passed so far"),
)
STATION: Fields = (
    ("cycle", "int64", "tick", "time of a cycle"),
    ("due", "int64", "tick", "when the cycle ends, -1 while idle"),
    ("since", "int64", "tick", "the first tick not yet on the counters"),
    ("started", "int64", "cycle", "so far"),
    ("ended", "int64", "cycle", "so far"),
    ("busy", "int64", "tick", "so far"),
    ("blocked", "int64", "tick", "so far"),
    ("status", "int32", "status", "busy, blocked, down or starved since then"),
    ("outlet_cap", "int32", "unit", "of each output"),
    ("input_first", "int32", "input", "its inputs in material order"),
    ("input_last", "int32", "input", "the end of these"),
    ("output_first", "int32", "output", "its outputs in material order"),
    ("output_last", "int32", "output", "the end of these"),
    ("feeder_first", "int32", "feeder", "pickers that work towards it, by name"),
    ("feeder_last", "int32", "feeder", "the end of these"),
    ("taker_first", "int32", "picker", "pickers that take from it"),
    ("taker_last", "int32", "picker", "the end of these"),
    ("holders", "int16", "picker", "pickers that hold units for it"),
    ("alert", "int16", "unit", "room below which the feeders look again when it grows"),
    ("varies", "int8", "-", "1 if its cycles do not all take `cycle`"),
    ("fails", "int8", "-", "1 if it has a breaker"),
)
INPUT: Fields = (
    ("material", "int32", "material", "what it is"),
    ("need", "int32", "unit/cycle", "taken at the start of a cycle"),
    ("held", "int32", "unit", "in the station"),
    ("room", "int32", "unit", "cap - held - under way"),
    ("starved", "int64", "tick", "ticks starved for it so far"),
)
OUTPUT: Fields = (
    ("gain", "int64", "part/cycle", "what it gives, in parts of which `one` make a unit"),
    ("one", "int64", "part/unit", "1 unless the yield is a fraction"),
    ("kept", "int64", "part", "kept over"),
    ("material", "int32", "material", "what it is"),
    ("held", "int32", "unit", "at the outlet"),
    ("most", "int32", "unit/cycle", "the most a cycle can give"),
)
STORE: Fields = (
    ("room", "int64", "unit", "cap - held in all - under way"),
    ("feeder_first", "int32", "feeder", "pickers that work towards it, by name"),
    ("feeder_last", "int32", "feeder", "the end of these"),
    ("taker_first", "int32", "picker", "pickers that take from it"),
    ("taker_last", "int32", "picker", "the end of these"),
    ("holders", "int32", "picker", "pickers that hold units for it"),
    ("alert", "int32", "unit", "room below which the feeders look again when it grows"),
    ("check", "int32", "-", "1 if these may be able to deliver"),
)
PICKER: Fields = (
    ("due", "int64", "tick", "when the swing ends"),
    ("picks", "int64", "pick", "so far"),
    ("swing", "int32", "tick", "time of a swing"),
    ("wish", "uint32", "carrier", "bits of the materials that it would take from its cell now"),
    ("source_at", "int32", "belt, station or store", "where it takes"),
    ("target_at", "int32", "belt, station or store", "where it puts"),
    ("input", "int32", "input", "where the units in the hand go, if to a station"),
    ("rank", "int32", "-", "place in the order of names"),
    ("behind", "int32", "picker", "next by name of the placing pickers over a belt, -1: none"),
    ("units", "int16", "unit", "in the hand"),
    ("hand", "int16", "unit", "the most in the hand"),
    ("source_cell", "int16", "cell", "on that belt"),
    ("target_cell", "int16", "cell", "on that belt"),
    ("material", "int16", "material", "in the hand"),
    ("taste", "int16", "taste", "row of `taste_slot` and `taste_bits`"),
    ("mates", "int8", "picker", "pickers that take from the same cell, itself among them"),
    ("source", "int8", "kind", "which kind `source_at` is"),
    ("target", "int8", "kind", "which kind `target_at` is"),
    ("grab", "int8", "-", "1 if it takes ahead and holds"),
    ("whole", "int8", "-", "1 if it takes carriers of a belt only whole"),
    ("full", "int8", "-", "1 if it takes as much as the hand holds, or nothing"),
    ("misses", "int8", "-", "1 if it may miss a pick, by its row of `misses`"),
    ("phase", "int8", "phase", "idle, swinging, holding or placing"),
)

LAW: Fields = (
    ("kind", "int64", "law", "which one"),
    ("low", "int64", "tick", "the shortest of uniform, or the fixed time"),
    ("span", "int64", "tick", "how many times from there on are possible"),
    ("middle", "int64", "tick/2**shift", "mean of the exponential from which the time is made"),
    ("shift", "int64", "-", "see middle"),
    ("first", "int64", "value", "the values of an empirical law"),
    ("count", "int64", "value", "how many"),
)
PACE: Fields = (
    ("law", "int64", "law", "of the cycles"),
    ("high", "int64", "-", "the name of its stream"),
    ("low", "int64", "-", "the rest of that"),
)
BREAKER: Fields = (
    ("due", "int64", "tick", "the next failure or repair, -1: none before the cycle ends"),
    ("life", "int64", "tick", "until the failure; while its clock runs, when that would be"),
    ("repair", "int64", "tick", "when it is up again, -1 while it is up"),
    ("failed", "int64", "failure", "so far"),
    ("station", "int64", "station", "what fails"),
    ("clock", "int64", "clock", "whether work or time counts until a failure"),
    ("up", "int64", "law", "of the times until a failure"),
    ("down", "int64", "law", "of repairs"),
    ("up_high", "int64", "-", "the name of the stream of the former"),
    ("up_low", "int64", "-", "the rest of that"),
    ("down_high", "int64", "-", "the name of the stream of the latter"),
    ("down_low", "int64", "-", "the rest of that"),
)
BROWN: Fields = (
    ("begin", "int64", "tick", "the first tick"),
    ("end", "int64", "tick", "the first tick after it"),
    ("over", "int64", "-", "a cycle takes over / under of its time"),
    ("under", "int64", "-", "see over"),
)
MISS: Fields = (
    ("below", "int64", "-", "first words of a draw below this are misses"),
    ("missed", "int64", "pick", "so far"),
    ("high", "int64", "-", "the name of its stream"),
    ("low", "int64", "-", "the rest of that"),
)
GAP: Fields = (
    ("due", "int64", "tick", "the next arrival"),
    ("arrived", "int64", "carrier", "so far"),
    ("lost", "int64", "carrier", "of these, found the dock full or out"),
    ("most", "int64", "part", "credit that the dock holds"),
    ("high", "int64", "-", "the name of its stream"),
    ("low", "int64", "-", "the rest of that"),
)
PIECE: Fields = (
    ("begin", "int64", "tick", "the first tick of this rate"),
    ("gain", "int64", "part/step", "credit gained in a step"),
    ("law", "int64", "law", "of the times between arrivals"),
)
SLOW: Fields = (
    ("belt", "int64", "belt", "where"),
    ("cell", "int64", "cell", "which one is slow, -1: the whole belt"),
    ("every", "int64", "step", "it goes on at each so many-th step"),
    ("below", "int64", "-", "unless the first word of a draw is below this"),
    ("high", "int64", "-", "the name of its stream"),
    ("low", "int64", "-", "the rest of that"),
)
ACT: Fields = (
    ("tick", "int64", "tick", "when"),
    ("belt", "int64", "belt", "where"),
    ("cell", "int64", "cell", "where on that"),
    ("code", "int64", "carrier", "what is put there, 0: nothing"),
)


class Clock(NamedTuple):
    """Time, and a wheel of lists of what is due; its actors are stations, pickers, breakers and,
    last, what is done by hand."""

    time: Annotated[Records, "CLOCK (one)"]
    wheel: Annotated[Array, "int32 (slot) [actor]"]
    behind: Annotated[Array, "int32 (actor) [actor]"]


class Belts(NamedTuple):
    """Belts, their cells, and what pickers want of each cell.

    `order` lists the belts downstream first. `want` are the bits that some idle picker would take
    from a cell, `watcher` is the first picker there. `scan` marks belts where a picker may find
    something, `drops` those where a placing picker may. `bit` and `material` translate between
    materials and bits (-1: not in the palette).
    """

    rows: Annotated[Records, "BELT (belt)"]
    cells: Annotated[Array, "cell (buffer) [carrier]"]
    order: Annotated[Array, "int32 (belt) [belt]"]
    want: Annotated[Array, "cell (watch) [carrier]"]
    watcher: Annotated[Array, "int32 (watch) [picker]"]
    scan: Annotated[Array, "int64 (belt word) [mark]"]
    drops: Annotated[Array, "int64 (belt word) [mark]"]
    on_belt: Annotated[Array, "int64 (belt, bit) [carrier]"]
    bit: Annotated[Array, "int8 (palette, material) [bit]"]
    material: Annotated[Array, "int32 (palette, bit) [material]"]


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
    """Pickers; the first `at_belts` of them take from belts.

    `ready` marks those who are idle again, or may find more to take or more room than before.

    A taste is what pickers from one palette to stations with the same inputs share: the input
    (counted from the station's first, -1: none) of each material, and the bit of each input.
    """

    rows: Annotated[Records, "PICKER (picker)"]
    feeders: Annotated[Array, "int32 (feeder) [picker]"]
    ready: Annotated[Array, "int64 (picker word) [mark]"]
    at_belts: Annotated[Array, "int64 (one) [picker]"]
    taste_slot: Annotated[Array, "int32 (taste, material) [input]"]
    taste_bits: Annotated[Array, "int64 (taste, slot of taste) [carrier]"]


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
    chance: Chance
