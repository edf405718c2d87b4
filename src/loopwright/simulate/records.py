"""The records of the engine: name, type, unit and meaning of each field.

One table for each kind of device, disturbance or treatment; `columns.py` says which arrays hold
them. What has no fixed number per device is a table of its own, and row i of the owner spans
`<name>_first` to `<name>_last` in it.
"""

from __future__ import annotations

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
    ("room", "int32", "cell", "where its room of 2 x length + LANES in `cells` begins"),
    ("watch", "int32", "cell", "its tail cell in `want` and `watcher`; -1: no picker takes here"),
    ("drop", "int32", "cell", "its tail cell in `placing` and `placer`; -1: no picker puts here"),
    ("waiting", "int32", "picker", "how many placing pickers are over it"),
    ("head_at", "int32", "drain or divert", "what takes from its head"),
    ("tail_at", "int32", "source or joint", "what feeds its tail"),
    ("flank_first", "int32", "flank", "side merges that end into it"),
    ("length", "int16", "cell", "how many cells it has"),
    ("solid", "int16", "cell", "cells known to be full up to the head, which itself may be empty"),
    ("carriers", "int16", "carrier", "how many are on it"),
    ("stood", "int16", "cell", "cells up to the head that stayed at its last step"),
    ("palette", "int16", "palette", "which bits stand for which materials"),
    ("flanks", "int16", "flank", "how many"),
    ("head", "int8", "head kind", "which kind `head_at` is"),
    ("tail", "int8", "tail kind", "which kind `tail_at` is"),
    ("counted", "int8", "-", "1 if `on_belt` is kept for it"),
    ("odd", "int8", "-", "whether some rows of `slows`, or applicators, are about it"),
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
    ("grades", "int8", "grade", "how many its recipe has; all others forget marks"),
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
    ("behind", "int32", "picker", "next by name of the placing pickers over a cell, -1: none"),
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

APPLICATOR: Fields = (
    ("belt", "int64", "belt", "where it stands"),
    ("cell", "int64", "cell", "where on that"),
    ("station", "int64", "station", "its tank"),
    ("dose", "int64", "part/unit", "agent for a unit, in parts of which `whole` make a unit"),
    ("whole", "int64", "part/unit", "of agent"),
    ("left", "int64", "part", "of the last unit opened"),
    ("credit", "int64", "part", "units it may mark, in parts of which `one` make a unit"),
    ("gain", "int64", "part/step", "credit gained in a step of its belt"),
    ("most", "int64", "part", "credit that it may have"),
    ("one", "int64", "part/unit", "0 for one without a rate"),
    ("carriers", "int64", "carrier", "marked so far"),
    ("units", "int64", "unit", "on these"),
    ("spent", "int64", "unit", "of agent, opened so far"),
    ("dry", "int64", "step", "at which there was too little agent"),
    ("late", "int64", "step", "at which there was too little credit"),
)
GRADE: Fields = (
    ("cycle", "int64", "tick", "time of a cycle"),
    ("law", "int64", "law", "of such cycles, if the station has a pace"),
    ("made_first", "int64", "made", "what such a cycle gives, by output"),
    ("ended", "int64", "cycle", "so far"),
)
MADE: Fields = (
    ("gain", "int64", "part/cycle", "as in OUTPUT"),
    ("most", "int64", "unit/cycle", "as in OUTPUT"),
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
