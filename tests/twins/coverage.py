"""What was at work in a run: devices by rule, habits, phases, disturbances."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from loopwright.layout.layout import Layout
from loopwright.simulate.disturbance import Disturbances
from loopwright.simulate.scenario import Outage

GATES = ("open", "ratio-locked", "counted", "windowed", "scarcest-first")
LAWS = ("fixed", "uniform", "exponential", "geometric", "empirical")
TAKES = ("units", "carriers", "hands")
PLACES = ("belt", "station", "store")
FEATURES = (
    "source with a rate",
    "source without a rate",
    "source refused",
    "source in an outage",
    "drain",
    *(f"merge {rule}" for rule in ("alternate", "priority")),
    "merge of one",
    "side merge",
    *(f"divert {rule}" for rule in ("alternate", "overflow", "material")),
    *(f"gate {rule}" for rule in GATES),
    "gate with a main",
    "gate with main in its pattern",
    "station busy",
    "station blocked",
    "station starved",
    "station with a fraction kept",
    "store",
    *(f"picker {source} to {target}" for source in PLACES for target in PLACES),
    *(f"picker {habit} {takes}" for habit in ("commit", "grab") for takes in TAKES),
    "picker placing at the end",
    "picker holding at the end",
    *(f"cycle {law}" for law in LAWS),
    *(f"failure by {clock}, {law}" for clock in ("work", "time") for law in LAWS),
    "down at the end",
    "missed pick",
    *(f"arrivals {law}" for law in LAWS),
    "arrivals lost",
    "arrivals without a limit",
    "supply that changes",
    "brown-out",
    "slow cell by steps",
    "slow cell by chance",
    "slow belt by steps",
    "slow belt by chance",
    "foreign carrier",
    "removed carrier",
    "applicator with a rate",
    "applicator without a rate",
    "applicator of some materials",
    "applicator dry",
    "applicator late",
    "several over one cell",
    *(f"picker {source} to applicator" for source in PLACES),
    *(f"picker {habit} to applicator" for habit in ("commit", "grab")),
    *(f"picker {takes} to applicator" for takes in TAKES),
    *(f"batch of grade {grade}" for grade in (1, 2)),
    "batch of a grade, cycle by chance",
    "batch of a grade, a fraction kept",
    *(f"marked in a {place} at the end" for place in (*PLACES, "hand")),
    "gate that counts marked carriers",
)


def features(
    layout: Layout, outages: list[Outage], told: Disturbances, end: dict[str, Any]
) -> set[str]:
    """Which of `FEATURES` were at work, by the counters of the state `end`."""
    counters = end["counters"]
    found = {*_devices(layout, counters), *_stations(end), *_pickers(layout, end)}
    found |= {*_troubles(told, counters), *_treatments(layout, told, end)}
    if outages:
        found.add("source in an outage")
    assert found <= set(FEATURES), found - set(FEATURES)
    return found


def _devices(layout: Layout, counters: dict[str, Any]) -> Iterator[str]:
    for source in layout.sources:
        count = counters["sources"][source.name]
        if count["carriers"]:
            yield f"source {'without' if source.rate is None else 'with'} a rate"
        if count["refused"]:
            yield "source refused"
    if any(drain["carriers"] for drain in counters["drains"].values()):
        yield "drain"
    for joint in (*layout.merges, *layout.gates):
        passed = counters["joints"][joint.name]["passed"]
        if any(passed):
            yield f"{type(joint).__name__.lower()} {joint.rule}"
            if len(passed) == 1 and joint in layout.merges:
                yield "merge of one"
        if joint in layout.gates and joint.main and passed[-1]:
            yield "gate with a main"
            if joint.main_has_places:
                yield "gate with main in its pattern"
    for flank in layout.side_merges:
        if any(counters["joints"][flank.name]["passed"]):
            yield "side merge"
    for divert in layout.diverts:
        if any(counters["diverts"][divert.name]):
            yield f"divert {divert.rule}"


def _stations(end: dict[str, Any]) -> Iterator[str]:
    for name, count in end["counters"]["stations"].items():
        yield from (f"station {status}" for status in ("busy", "blocked") if count[status])
        if any(count["starved"].values()):
            yield "station starved"
        if any(part != "0" for part in end["stations"][name]["kept"].values()):
            yield "station with a fraction kept"
        if end["stations"][name]["down"] is not None:
            yield "down at the end"
    if any(end["stores"].values()):
        yield "store"


def _pickers(layout: Layout, end: dict[str, Any]) -> Iterator[str]:
    kinds = {belt.name: "belt" for belt in layout.belts}
    kinds |= {station.name: "station" for station in layout.stations}
    kinds |= {store.name: "store" for store in layout.stores}
    tanks = {one.name for one in layout.applicators}
    for picker in layout.pickers:
        phase = end["pickers"][picker.name]["phase"]
        if phase in ("placing", "holding"):
            yield f"picker {phase} at the end"
        if end["counters"]["picks"][picker.name] and picker.target.device in tanks:
            yield from (
                f"picker {what} to applicator"
                for what in (kinds[picker.source.device], picker.habit, picker.takes)
            )
        elif end["counters"]["picks"][picker.name]:
            yield f"picker {kinds[picker.source.device]} to {kinds[picker.target.device]}"
            yield f"picker {picker.habit} {picker.takes}"
    if end["counters"]["missed"]:
        yield "missed pick"


def _troubles(told: Disturbances, counters: dict[str, Any]) -> Iterator[str]:
    for pace in told.paces:
        if counters["stations"][pace.station]["started"]:
            yield f"cycle {pace.law.kind}"
    for failure in told.failures:
        if counters["stations"][failure.station]["failed"]:
            yield f"failure by {failure.clock}, {failure.law.kind}"
    for arrival in told.arrivals:
        count = counters["sources"][arrival.source]
        if count["arrived"]:
            yield f"arrivals {arrival.law.kind}"
            if arrival.queue is None:
                yield "arrivals without a limit"
        if count["lost"]:
            yield "arrivals lost"
    if told.supplies:
        yield "supply that changes"
    if told.brown_outs and any(one["started"] for one in counters["stations"].values()):
        yield "brown-out"
    for slow in told.slow:
        where = "belt" if slow.index is None else "cell"
        if slow.every > 1:
            yield f"slow {where} by steps"
        if slow.refuses:
            yield f"slow {where} by chance"
    if counters["put"]:
        yield "foreign carrier"
    if counters["removed"]:
        yield "removed carrier"


def _treatments(layout: Layout, told: Disturbances, end: dict[str, Any]) -> Iterator[str]:
    counters = end["counters"]
    for one in layout.applicators:
        count = counters["applicators"][one.name]
        if count["carriers"]:
            yield f"applicator {'without' if one.rate is None else 'with'} a rate"
            if one.materials:
                yield "applicator of some materials"
        yield from (f"applicator {why}" for why in ("dry", "late") if count[why])
    cells = [(one.belt, one.index) for one in layout.applicators]
    if len(set(cells)) < len(cells):
        yield "several over one cell"
    laws = {pace.station: pace.law.kind for pace in told.paces}
    for name, station in counters["stations"].items():
        for grade, ended in enumerate(station["graded"], 1):
            if ended:
                yield f"batch of grade {grade}"
                if laws.get(name, "fixed") != "fixed":
                    yield "batch of a grade, cycle by chance"
                if any(part != "0" for part in end["stations"][name]["kept"].values()):
                    yield "batch of a grade, a fraction kept"
    if end["marks"]:
        yield "marked in a belt at the end"
    if any(station["marked"] for station in end["stations"].values()):
        yield "marked in a station at the end"
    if end["marked"]:
        yield "marked in a store at the end"
    if any(hand["mark"] for hand in end["pickers"].values()):
        yield "marked in a hand at the end"
    for gate in layout.gates:
        loop = [belt for belt in gate.loop if belt in end["marks"]]
        if loop and gate.rule in ("counted", "scarcest-first") and gate.quotas:
            yield "gate that counts marked carriers"
