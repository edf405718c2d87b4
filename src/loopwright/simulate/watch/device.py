"""What one device of a watched run does now and did until now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

import numpy as np

from loopwright.layout.layout import Applicator, Belt, Drain, Picker, Source, Station, Store
from loopwright.simulate.reading.text import by_material, figure, percent
from loopwright.simulate.state import State
from loopwright.simulate.watch.tally import STATION, Tally
from loopwright.simulate.watch.watch import Watch
from loopwright.simulate.wiring import Wiring, inlets_of


@dataclass(frozen=True, slots=True)
class Line:
    """A series of a chart, an entry for each stretch of time; `material` where it is about one."""

    name: str
    values: tuple[float, ...]
    material: str = ""


@dataclass(frozen=True, slots=True)
class Past:
    """Series over stretches of time that end at `times` [s]; `unit` of the values, a share or a
    rate; shares of one whole add up to 1."""

    unit: str
    times: tuple[float, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class DeviceReading:
    """`facts` are pairs of a word and what it is; `mix` [share] of (cell, material) on a belt in
    the last looks at it, tail first."""

    name: str
    kind: str
    facts: tuple[tuple[str, str], ...]
    past: Past | None = None
    mix: tuple[tuple[float, ...], ...] = field(default=())


def read_device(watch: Watch, name: str) -> DeviceReading:
    """What the device `name` does.

    Raises
    ------
    KeyError
        There is none of that name which does anything.
    """
    wiring = watch.era.plant.wiring
    state = watch.state()
    if name in wiring.stations:
        return _station(watch, wiring.stations[name], state)
    if name in wiring.belts:
        return _belt(watch, wiring.belts[name], state)
    if name in wiring.pickers:
        return _picker(watch, wiring.pickers[name], state)
    if name in wiring.sources:
        return _source(watch, wiring.sources[name])
    if name in wiring.drains:
        return _drain(watch, wiring.drains[name])
    if name in wiring.stores:
        return _store(wiring.stores[name], state)
    if name in wiring.applicators:
        return _applicator(wiring.applicators[name], state)
    if any(station.row == name for station in wiring.stations.values()):
        return _row(watch, wiring, name)
    return _joint(watch, wiring, name)


def _tallies(watch: Watch) -> list[Tally]:
    """The tallies of the marks up to now, and one of now."""
    kept = [mark.tally for mark in watch.diary.marks if mark.tick < watch.now]
    return [*kept, watch.tally()]


Columns = list[tuple[str, str, Callable[[Tally], int]]]
"""Name, material and count of each line of a chart."""


def _past(watch: Watch, unit: str, columns: Columns, scale: float | None = None) -> Past:
    """What was counted between tallies: a second, or with `scale` times that, a tick."""
    tallies = _tallies(watch)
    times = tuple(float(after.tick * watch.tick) for after in tallies[1:])
    per = 1 / float(watch.tick) if scale is None else scale
    lines = []
    for name, material, count in columns:
        counts = [count(tally) for tally in tallies]
        values = tuple(
            (b - a) / (after.tick - before.tick) * per
            for (before, after), (a, b) in zip(pairwise(tallies), pairwise(counts), strict=True)
        )
        lines.append(Line(name, values, material))
    return Past(unit, times, tuple(lines))


def _entry(table: str, *place: int) -> Callable[[Tally], int]:
    """Reads one entry of a table of a tally."""
    return lambda tally: int(getattr(tally, table)[place])


def _station(watch: Watch, station: Station, state: State) -> DeviceReading:
    wiring = watch.era.plant.wiring
    at = list(wiring.stations).index(station.name)
    recipe, now = wiring.recipe[station.name], state.stations[station.name]
    count = state.counters.stations[station.name]
    total = count.busy + count.blocked + count.down + sum(count.starved.values())
    caps = dict(station.caps)
    holds = ", ".join(f"{held} of {caps[name]} {name}" for name, held in now.inputs.items())
    facts = [
        ("row", station.row or "none"),
        ("recipe", f"{recipe.name}, {figure(recipe.cycle)} s a cycle"),
        ("does", _doing(watch, at)),
        ("holds", holds or "nothing"),
        ("at its outlet", by_material(now.outlet) if now.outlet else "nothing"),
        ("cycles", f"{count.ended} ended"),
    ]
    if total:
        facts.append(("busy so far", percent(Fraction(count.busy, total))))
    materials = list(wiring.materials)
    columns: Columns = [
        (word, "", _entry("stations", at, STATION.index(word)))
        for word in ("busy", "blocked", "down")
    ]
    columns += [
        (f"starved of {name}", name, _entry("starved", at, materials.index(name)))
        for name, _ in recipe.inputs
    ]
    past = _past(watch, "share of time", columns, 1.0)
    return DeviceReading(station.name, "station", tuple(facts), past)


def _row(watch: Watch, wiring: Wiring, name: str) -> DeviceReading:
    """The stations of a row taken together."""
    members = [at for at, one in enumerate(wiring.stations.values()) if one.row == name]
    doing = watch.view().stations[members] & 7
    counts = [(int((doing == told).sum()), word) for told, word in sorted(_WORDS.items())]
    facts = (
        ("stations", str(len(members))),
        ("now", ", ".join(f"{count} {word}" for count, word in counts if count) or "idle"),
        ("cycles", f"{int(watch.tally().stations[members, STATION.index('ended')].sum())} ended"),
    )

    def mean(table: str, column: int) -> Callable[[Tally], int]:
        return lambda tally: int(getattr(tally, table)[members, column].sum())

    stations = list(wiring.stations.values())
    materials = list(wiring.materials)
    inputs = dict.fromkeys(
        material for at in members for material, _ in wiring.recipe[stations[at].name].inputs
    )
    columns: Columns = [
        (word, "", mean("stations", STATION.index(word))) for word in ("busy", "blocked", "down")
    ]
    columns += [
        (f"starved of {material}", material, mean("starved", materials.index(material)))
        for material in inputs
    ]
    past = _past(watch, "share of time", columns, 1 / len(members))
    return DeviceReading(name, "row", facts, past)


_WORDS = {1: "busy", 2: "blocked", 3: "starved", 4: "down"}


def _doing(watch: Watch, at: int) -> str:
    told = int(watch.view().stations[at])
    text = _WORDS.get(told & 7, "idle")
    material = (told >> 3) - 1
    names = list(watch.era.plant.wiring.materials)
    if told & 7 == 3 and 0 <= material < len(names):
        text += f" of {names[material]}"
    return text


def _belt(watch: Watch, belt: Belt, state: State) -> DeviceReading:
    wiring = watch.era.plant.wiring
    cells = state.belts[belt.name]
    held: dict[str, int] = {}
    for cell in cells:
        if cell is not None:
            held[cell[0]] = held.get(cell[0], 0) + 1
    full = sum(held.values())
    facts = [
        ("role", belt.role),
        ("length", f"{len(cells)} cells, {figure(belt.speed)} cells/s"),
        ("carriers", f"{full}: {by_material(held)}" if held else "none"),
        ("filled", percent(Fraction(full, len(cells)))),
    ]
    ways = watch.era.clerk.ways
    leaving = [number for (_, way), number in ways.items() if way == belt.name]
    head = wiring.head.get(belt.name)
    outlets = list(head.outlets) if head is not None and hasattr(head, "outlets") else []
    places = [ways[head.name, out] for out in outlets] if head is not None else []
    places = places or leaving
    past = None
    if places and not isinstance(head, Drain):
        past = _past(
            watch,
            "carriers/s",
            [("leave its head", "", lambda tally: int(tally.passed[places].sum()))],
        )
    elif isinstance(head, Drain):
        number = list(wiring.drains).index(head.name)
        past = _past(watch, "units/s", [("leave", "", _entry("drains", number))])
    return DeviceReading(belt.name, "belt", tuple(facts), past, _mix(watch, belt))


def _mix(watch: Watch, belt: Belt) -> tuple[tuple[float, ...], ...]:
    wiring = watch.era.plant.wiring
    at = list(wiring.belts).index(belt.name)
    first, last = watch.era.lens.firsts[at : at + 2].tolist()
    looks = np.array([cells[first:last] for _, cells in watch.diary.recent])
    shares = [
        ((looks >> 4 == number) & (looks > 0)).mean(axis=0)
        for number in range(len(wiring.materials))
    ]
    return tuple(tuple(row) for row in np.round(np.array(shares).T, 3).tolist())


def _picker(watch: Watch, picker: Picker, state: State) -> DeviceReading:
    at = list(watch.era.plant.wiring.picker_rank).index(picker.name)
    now = state.pickers[picker.name]
    hand = f"{now.count} {now.material}" if now.material else "nothing"
    facts = (
        ("way", f"{picker.source.device} to {picker.target.device}"),
        ("swing", f"{figure(picker.swing)} s, hand for {picker.hand}, {picker.habit}"),
        ("does", f"{now.phase}, holds {hand}"),
        ("picks", str(state.counters.picks[picker.name])),
    )
    swing = float(picker.swing / watch.tick)
    column = ("at work", "", _entry("picks", at))
    return DeviceReading(
        picker.name, "picker", facts, _past(watch, "share of time", [column], swing)
    )


def _source(watch: Watch, source: Source) -> DeviceReading:
    at = list(watch.era.plant.wiring.sources).index(source.name)
    most = (
        "as much as its belt takes" if source.rate is None else f"{figure(source.rate)} carriers/s"
    )
    facts = (
        ("brings", f"{source.material}, {source.load} a carrier"),
        ("at most", most),
        ("supply", "stopped" if source.name in watch.stopped_sources() else "on"),
    )
    column = ("brought", source.material, _entry("sources", at, 0))
    return DeviceReading(source.name, "dock", facts, _past(watch, "units/s", [column]))


def _drain(watch: Watch, drain: Drain) -> DeviceReading:
    at = list(watch.era.plant.wiring.drains).index(drain.name)
    units = int(watch.tally().drains[at])
    facts = (("takes", drain.purpose), ("taken", f"{units} units"))
    column = ("taken", "", _entry("drains", at))
    return DeviceReading(drain.name, "exit dock", facts, _past(watch, "units/s", [column]))


def _store(store: Store, state: State) -> DeviceReading:
    held = state.stores[store.name]
    facts = (("room for", f"{store.cap} units"), ("holds", by_material(held) or "nothing"))
    return DeviceReading(store.name, "store", facts)


def _applicator(one: Applicator, state: State) -> DeviceReading:
    now, count = state.applicators[one.name], state.counters.applicators[one.name]
    facts = (
        ("marks", f"{', '.join(one.materials) or 'all'} on {one.belt}"),
        ("tank", f"{now.held} of {one.cap} {one.agent}"),
        ("marked", f"{count.carriers} carriers, {count.units} units"),
        ("spent", f"{count.spent} {one.agent}"),
        ("passed by without", f"{count.dry} for want of {one.agent}, {count.late} too fast for it"),
    )
    return DeviceReading(one.name, "applicator", facts)


def _joint(watch: Watch, wiring: Wiring, name: str) -> DeviceReading:
    """A gate, merge, side merge or divert: what came by each of its ways."""
    ways = {way: number for (device, way), number in watch.era.clerk.ways.items() if device == name}
    if not ways:
        raise KeyError(name)
    joint = wiring.joints.get(name)
    facts = []
    if name in wiring.flanks:
        kind, flank = "side merge", wiring.flanks[name]
        facts.append(("way", f"{flank.inlet} into the flank of {flank.main}"))
    elif name in wiring.diverts:
        kind, divert = "divert", wiring.diverts[name]
        facts += [("rule", divert.rule), ("from", divert.inlet)]
    else:
        assert joint is not None
        kind = "gate" if hasattr(joint, "box") else "merge"
        facts += [("rule", joint.rule), ("from", ", ".join(inlets_of(joint))), ("to", joint.outlet)]
        quotas = getattr(joint, "quotas", ())
        if quotas and joint.rule not in ("open", "ratio-locked"):
            facts.append(("at most", by_material(dict(quotas)) + " carriers"))
    columns: Columns = [(way, "", _entry("passed", number)) for way, number in ways.items()]
    return DeviceReading(name, kind, tuple(facts), _past(watch, "carriers/s", columns))
