"""What limits the rate of a run, and by how much, read off its counters.

A limit is told when a share crosses one of the thresholds below; each sentence holds the counted
numbers that made it so, and nothing that was not counted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from loopwright.simulate.reading.cause import CROWDED, Causes
from loopwright.simulate.reading.count import read_run
from loopwright.simulate.reading.readings import BeltReading, Readings, TimeShares
from loopwright.simulate.reading.text import (
    by_material,
    figure,
    listed,
    percent,
    station_range,
)
from loopwright.simulate.reading.trace import FULL, WAIT, Trace
from loopwright.simulate.reading.unmarked import unmarked_rows
from loopwright.simulate.run import Run


@dataclass(frozen=True, slots=True)
class Limit:
    """One thing that holds the rate down.

    `kind` is jam, starved, blocked, output, stations or unmarked; `place` names a row or device;
    `loss` [units/s] is what its stations would have made in the time they waited; `because` says
    what the devices around them did.
    """

    kind: str
    place: str
    loss: Fraction
    sentence: str
    because: tuple[str, ...] = ()


def limits(run: Run, target: Fraction | None = None) -> tuple[Limit, ...]:
    """What held the rate of `run` down, the largest loss first; `target` [units/s].

    Told are rows whose stations starve or are blocked for `WAIT` of the time or more, output belts
    that are `FULL`, too few stations for the target, batches that were not marked, and jams.
    """
    readings = read_run(run)
    trace = Trace(run, readings)
    causes = Causes(run, readings, trace)
    found = [
        *_jams(run, readings, trace, target),
        *_starved(readings, trace, causes),
        *_outputs(readings, trace, causes),
        *_stations(readings, trace, target),
        *(Limit("unmarked", *told) for told in unmarked_rows(run, readings, trace)),
    ]
    return tuple(sorted(found, key=lambda limit: (limit.kind != "jam", -limit.loss)))


def jammed(run: Run) -> bool:
    """Whether the line stands: no product in the last third of the bins, though it had time to.

    That is: every outage ended before that third began, and at the end no station runs a cycle. A
    run too short to bring anything out in its last third reads the same.
    """
    return _standstill(run) is not None


def _standstill(run: Run) -> Fraction | None:
    """The time [s] since which nothing came out, if the line stands."""
    bins = [run.bins[drain.name] for drain in run.layout.drains if drain.purpose == "product"]
    totals = [sum(sum(one.values()) for one in units) for units in zip(*bins, strict=True)]
    count = len(totals)
    last = max((index + 1 for index, total in enumerate(totals) if total), default=0)
    if run.ended == "jam":
        return last * run.scenario.bin
    first = count - count // 3
    if count < 3 or last > first:
        return None
    begin = run.start.tick * run.tick
    back, end = begin + first * run.scenario.bin, begin + run.ticks * run.tick
    if any(o.start + o.span > back and o.start < end for o in run.scenario.outages):
        return None
    if any(station.due is not None for station in run.end.stations.values()):
        return None
    return last * run.scenario.bin


def _jams(run: Run, readings: Readings, trace: Trace, target: Fraction | None) -> Iterator[Limit]:
    since = _standstill(run)
    if since is None:
        return
    because = []
    worst = max(readings.rows, key=lambda row: row.waiting, default=None)
    cause = ""
    for row in readings.rows:
        if not row.starved:
            continue
        missing = max(row.starved, key=lambda material: row.starved[material])
        belts = trace.loop_of(row.name)
        cells = sum(belt.cells for belt in belts)
        held: dict[str, int] = {}
        for belt in belts:
            for material, carriers in belt.carriers.items():
                held[material] = held.get(material, 0) + carriers
        names = listed([belt.name for belt in belts])
        others = [name for name in held if name != missing]
        full = sum(held.values()) >= CROWDED * cells and not held.get(missing)
        if row is worst and full and others:
            cause = f"; {names} are full of {listed(others)}, so no {missing} can come in"
        elif row is worst:
            cause = f"; {row.name or 'its stations'} waits for {missing}"
        because.append(
            f"{row.name or 'stations'}: most time is lost for want of {missing}; {names} hold "
            f"{sum(held.values())} carriers on {cells} cells: "
            f"{by_material(held, trace.inputs_of(row.name))}"
        )
    place = listed([drain.name for drain in readings.drains if drain.purpose == "product"])
    lost = trace.full_rate if target is None else target
    sentence = f"the line stands: nothing came out after {figure(since)} s{cause}"
    yield Limit("jam", place, lost, sentence, tuple(because))


def _starved(readings: Readings, trace: Trace, causes: Causes) -> Iterator[Limit]:
    for row in readings.rows:
        if row.waiting < WAIT:
            continue
        missing = sorted(row.starved, key=lambda material: -row.starved[material])
        told = listed([f"{name} {percent(row.starved[name])}" for name in missing])
        members = readings.stations_of(row.name)
        wait = "waits" if row.stations == 1 else "wait"
        sentence = (
            f"{_row_text(row)} {wait} for material {percent(row.waiting)} of the time ({told})"
        )
        worst = worst_stretch(members)
        if 0 < len(worst) < len(members):
            share = sum((one.waiting for one in worst), Fraction(0)) / len(worst)
            names = station_range([one.name for one in worst])
            sentence += f"; {names} wait {percent(share)}"
        loss = sum((one.waiting * trace.makes(one.name) for one in members), Fraction(0))
        yield Limit("starved", row.name, loss, sentence, causes.of_starving(row, worst))


def worst_stretch(stations: Sequence[TimeShares]) -> tuple[TimeShares, ...]:
    """The stations around the one that waits most which all wait half as much or more."""
    if not stations:
        return ()
    most = max(stations, key=lambda one: one.waiting)
    first = last = list(stations).index(most)
    while first > 0 and stations[first - 1].waiting * 2 >= most.waiting:
        first -= 1
    while last + 1 < len(stations) and stations[last + 1].waiting * 2 >= most.waiting:
        last += 1
    return tuple(stations[first : last + 1])


def _outputs(readings: Readings, trace: Trace, causes: Causes) -> Iterator[Limit]:
    """Belts that stations set down on: full ones, and those at which stations are blocked."""
    shares = {station.name: station for station in readings.stations}
    for belt in readings.belts:
        setters = [shares[name] for name in trace.setters_of(belt.name)]
        if not setters:
            continue
        blocked = sum((one.blocked for one in setters), Fraction(0)) / len(setters)
        full = belt.flow is not None and belt.flow >= FULL
        if blocked < WAIT and not full:
            continue
        loss = sum((one.blocked * trace.makes(one.name) for one in setters), Fraction(0))
        rows = listed(list(dict.fromkeys(one.row or one.name for one in setters)))
        sentence = (
            f"stations of {rows} are blocked {percent(blocked)} of the time"
            if blocked
            else f"stations of {rows} are never blocked, but nothing more fits on their output belt"
        )
        sentence += _carries(belt, trace)
        yield Limit(
            "output" if full else "blocked",
            belt.name,
            loss,
            sentence,
            causes.of_blocking(belt, setters),
        )


def _carries(belt: BeltReading, trace: Trace) -> str:
    if belt.flow is None:
        return f"; nothing takes carriers off the end of {belt.name}"
    speed = trace.speed(belt.name)
    return (
        f"; {belt.name} carries {figure(belt.flow * speed)} of at most {figure(speed)} carriers/s"
    )


def _stations(readings: Readings, trace: Trace, target: Fraction | None) -> Iterator[Limit]:
    if target is None or trace.full_rate >= target:
        return
    count = len(readings.stations)
    sentence = (
        f"all {count} stations together make at most {figure(trace.full_rate)} units/s without "
        f"any wait, {figure(target - trace.full_rate)} less than asked"
    )
    yield Limit("stations", f"{count} stations", target - trace.full_rate, sentence)


def _row_text(row: TimeShares) -> str:
    stations = "station" if row.stations == 1 else "stations"
    return f"{row.name}: {row.stations} {stations}" if row.name else f"{row.stations} {stations}"
