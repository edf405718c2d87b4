"""Every array of the engine: its name, type, shape and unit.

Each group of arrays is a named tuple. The text beside a column reads `dtype (shape) [unit]`; a
dimension may carry `+1` (for lists of lists: row i spans the entries first[i] to first[i + 1]).
`allocate` makes the arrays from this very text, so there is no second table to keep in step.

A layout falls into parts that do not touch each other; each part has its own set of arrays, in
which devices are numbered from 0 in the natural order of their names (pickers: in pick order).

A cell is one unsigned number: 0 when empty, else the count of units in its low 4 bits and one
bit above them for the material. Which bit stands for which material is told by the palette of
the group of belts that hand carriers to each other.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated, Any, NamedTuple, TypeVar, get_args, get_type_hints

import numpy as np

Array = np.ndarray[Any, np.dtype[Any]]

COUNT_BITS = 4
COUNT_MASK = 15
LANES = 32
"""Cells that one wide instruction compares; also the padding behind each belt."""

HEAD_OPEN, HEAD_DRAIN, HEAD_DIVERT = 0, 1, 2
TAIL_OPEN, TAIL_SOURCE, TAIL_JOINT = 0, 1, 2
ALTERNATE, PRIORITY, RATIO, COUNTED, WINDOWED, SCARCEST = 0, 1, 2, 3, 4, 5
OVERFLOW, BY_MATERIAL = 2, 3
AT_BELT, AT_STATION, AT_STORE = 0, 1, 2
IDLE, SWINGING, HOLDING, PLACING = 0, 1, 2, 3
BUSY, BLOCKED = -1, -2
"""Status of a station; 0 and above: starved for the input of that number."""


class Clock(NamedTuple):
    """Time of the part."""

    now: Annotated[Array, "int64 (one) [tick]"]


class Belts(NamedTuple):
    """Belts; cell i of belt b is `cells[base[b] + i]`, tail first.

    `order` lists the belts downstream first. `bit` and `material` translate between the
    materials of the layout and the bits of the cells (-1: not in the palette).
    """

    cells: Annotated[Array, "cell (buffer) [carrier]"]
    base: Annotated[Array, "int64 (belt) [cell]"]
    length: Annotated[Array, "int64 (belt) [cell]"]
    step: Annotated[Array, "int64 (belt) [tick]"]
    due: Annotated[Array, "int64 (belt) [tick]"]
    order: Annotated[Array, "int32 (belt) [belt]"]
    head: Annotated[Array, "int8 (belt) [head kind]"]
    head_at: Annotated[Array, "int32 (belt) [drain or divert]"]
    tail: Annotated[Array, "int8 (belt) [tail kind]"]
    tail_at: Annotated[Array, "int32 (belt) [source or joint]"]
    flank_first: Annotated[Array, "int32 (belt+1) [flank]"]
    palette: Annotated[Array, "int32 (belt) [palette]"]
    bit: Annotated[Array, "int8 (palette, material) [bit]"]
    material: Annotated[Array, "int32 (palette, bit) [material]"]


class Flanks(NamedTuple):
    """Side merges, sorted by the belt they end into."""

    inlet: Annotated[Array, "int32 (flank) [belt]"]
    cell: Annotated[Array, "int64 (flank) [cell]"]
    offered: Annotated[Array, "int64 (flank) [action]"]
    passed: Annotated[Array, "int64 (flank) [carrier]"]


class Sources(NamedTuple):
    """Sources; credit is counted in parts of which `one` make a carrier, 0 if there is no rate."""

    cell: Annotated[Array, "cell (source) [carrier]"]
    credit: Annotated[Array, "int64 (source) [part]"]
    gain: Annotated[Array, "int64 (source) [part/step]"]
    one: Annotated[Array, "int64 (source) [part/carrier]"]
    carriers: Annotated[Array, "int64 (source) [carrier]"]
    refused: Annotated[Array, "int64 (source) [step]"]
    outage_first: Annotated[Array, "int32 (source+1) [outage]"]
    outage_from: Annotated[Array, "int64 (outage) [tick]"]
    outage_to: Annotated[Array, "int64 (outage) [tick]"]


class Drains(NamedTuple):
    """Drains."""

    carriers: Annotated[Array, "int64 (drain, bit) [carrier]"]
    units: Annotated[Array, "int64 (drain, bit) [unit]"]


class Joints(NamedTuple):
    """Merges, then gates. The `fresh` first inlets of a row are tried by rule; main is the last."""

    rule: Annotated[Array, "int8 (joint) [rule]"]
    first: Annotated[Array, "int32 (joint+1) [inlet]"]
    fresh: Annotated[Array, "int32 (joint) [inlet]"]
    turn: Annotated[Array, "int32 (joint) [inlet or place]"]
    offered: Annotated[Array, "int64 (joint) [action]"]
    gate: Annotated[Array, "int32 (joint) [gate]"]
    inlet: Annotated[Array, "int32 (inlet) [belt]"]
    passed: Annotated[Array, "int64 (inlet) [carrier]"]


class Gates(NamedTuple):
    """What only gates know. `window` is a ring of bits passed (-1: nothing) that `window_at`
    goes round; `window_count` and `tally` hold how often each bit is in it or on the loop."""

    quota: Annotated[Array, "int64 (gate, bit) [carrier]"]
    share: Annotated[Array, "int64 (gate, bit) [part]"]
    pattern_first: Annotated[Array, "int32 (gate+1) [place]"]
    pattern: Annotated[Array, "int32 (place) [inlet of the row]"]
    window_first: Annotated[Array, "int32 (gate+1) [action]"]
    window: Annotated[Array, "int8 (action) [bit]"]
    window_at: Annotated[Array, "int32 (gate) [action]"]
    window_count: Annotated[Array, "int64 (gate, bit) [action]"]
    loop_first: Annotated[Array, "int32 (gate+1) [loop belt]"]
    loop: Annotated[Array, "int32 (loop) [belt]"]


class Diverts(NamedTuple):
    """Diverts; `filter` is the outlet of the row for each bit."""

    rule: Annotated[Array, "int8 (divert) [rule]"]
    first: Annotated[Array, "int32 (divert+1) [outlet]"]
    turn: Annotated[Array, "int32 (divert) [outlet]"]
    filter: Annotated[Array, "int32 (divert, bit) [outlet of the row]"]
    outlet: Annotated[Array, "int32 (outlet) [belt]"]
    passed: Annotated[Array, "int64 (outlet) [carrier]"]


class Stations(NamedTuple):
    """Stations; `due` is -1 while idle. `input_*` has a row per input, in material order;
    `room` is cap - held - under way. `output_*` likewise; what is kept over is counted in parts
    of which `output_one` make a unit, and a cycle gives `output_gain` parts, `output_most` units
    at most."""

    cycle: Annotated[Array, "int64 (station) [tick]"]
    due: Annotated[Array, "int64 (station) [tick]"]
    outlet_cap: Annotated[Array, "int64 (station) [unit]"]
    started: Annotated[Array, "int64 (station) [cycle]"]
    ended: Annotated[Array, "int64 (station) [cycle]"]
    busy: Annotated[Array, "int64 (station) [tick]"]
    blocked: Annotated[Array, "int64 (station) [tick]"]
    input_first: Annotated[Array, "int32 (station+1) [input]"]
    output_first: Annotated[Array, "int32 (station+1) [output]"]
    input_material: Annotated[Array, "int32 (input) [material]"]
    input_need: Annotated[Array, "int64 (input) [unit/cycle]"]
    input_held: Annotated[Array, "int64 (input) [unit]"]
    input_room: Annotated[Array, "int64 (input) [unit]"]
    input_starved: Annotated[Array, "int64 (input) [tick]"]
    output_material: Annotated[Array, "int32 (output) [material]"]
    output_held: Annotated[Array, "int64 (output) [unit]"]
    output_most: Annotated[Array, "int64 (output) [unit/cycle]"]
    output_gain: Annotated[Array, "int64 (output) [part/cycle]"]
    output_one: Annotated[Array, "int64 (output) [part/unit]"]
    output_kept: Annotated[Array, "int64 (output) [part]"]


class Stores(NamedTuple):
    """Stores; `room` is cap - held in all - under way."""

    room: Annotated[Array, "int64 (store) [unit]"]
    held: Annotated[Array, "int64 (store, material) [unit]"]


class Pickers(NamedTuple):
    """Pickers in pick order; `by_name` lists them in the order of names.

    `slot` is the row of `slots` that tells which input (a row of the station's own) each material
    goes to, -1 for none; only pickers that work towards a station have one.
    """

    by_name: Annotated[Array, "int32 (picker) [picker]"]
    source: Annotated[Array, "int8 (picker) [kind]"]
    source_at: Annotated[Array, "int32 (picker) [belt, station or store]"]
    source_cell: Annotated[Array, "int64 (picker) [cell]"]
    target: Annotated[Array, "int8 (picker) [kind]"]
    target_at: Annotated[Array, "int32 (picker) [belt, station or store]"]
    target_cell: Annotated[Array, "int64 (picker) [cell]"]
    swing: Annotated[Array, "int64 (picker) [tick]"]
    hand: Annotated[Array, "int64 (picker) [unit]"]
    grab: Annotated[Array, "bool (picker) [-]"]
    slot: Annotated[Array, "int32 (picker) [row]"]
    slots: Annotated[Array, "int32 (row, material) [input of the row]"]
    phase: Annotated[Array, "int8 (picker) [phase]"]
    material: Annotated[Array, "int32 (picker) [material]"]
    units: Annotated[Array, "int64 (picker) [unit]"]
    due: Annotated[Array, "int64 (picker) [tick]"]
    picks: Annotated[Array, "int64 (picker) [pick]"]


class Part(NamedTuple):
    """All arrays of one part of a layout."""

    clock: Clock
    belts: Belts
    flanks: Flanks
    sources: Sources
    drains: Drains
    joints: Joints
    gates: Gates
    diverts: Diverts
    stations: Stations
    stores: Stores
    pickers: Pickers


Group = TypeVar("Group")


def columns(group: Any) -> dict[str, tuple[str, tuple[str, ...], str]]:
    """Dtype, shape and unit of each array of `group`, by name."""
    table = {}
    for name, hint in get_type_hints(group, include_extras=True).items():
        dtype, rest = get_args(hint)[1].split(" (", 1)
        shape, unit = rest.split(") [", 1)
        table[name] = (dtype, tuple(shape.split(", ")), unit.removesuffix("]"))
    return table


def allocate(group: Callable[..., Group], sizes: Mapping[str, int], cell: str) -> Group:
    """Arrays of `group` filled with 0; `sizes` by dimension, `cell` is the dtype of a cell."""
    arrays = []
    for dtype, shape, _ in columns(group).values():
        extent = [sizes[name.removesuffix("+1")] + name.endswith("+1") for name in shape]
        arrays.append(np.zeros(extent, dtype=cell if dtype == "cell" else dtype))
    return group(*arrays)
