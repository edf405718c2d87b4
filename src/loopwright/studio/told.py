"""What is told of a watched run, as messages."""

from __future__ import annotations

import numpy as np

from loopwright.layout.layout import Layout
from loopwright.simulate.watch import DeviceReading, View, Watch
from loopwright.simulate.watch.view import BLOCKED, BUSY, DOWN, STARVED
from loopwright.simulate.watch.watch import MINUTE
from loopwright.studio.floor_message import (
    Chart,
    ChartLine,
    Device,
    Fact,
    History,
    Jam,
    RunEvent,
    Status,
    Stock,
)

MOST_POINTS = 360
"""Points of a history; neighbours are taken together where there are more."""


def status_of(watch: Watch, view: View, playing: bool, speed: float, target: float) -> Status:
    """Where the run is."""
    stands = watch.standstill
    return Status(
        time=float(watch.time),
        reach=float(watch.reach * watch.tick),
        playing=playing,
        speed=round(speed, 4),
        rate=round(float(watch.rate()), 4),
        target=target,
        made=watch.made(),
        busy=view.doing(BUSY),
        starved=view.doing(STARVED),
        blocked=view.doing(BLOCKED),
        down=view.doing(DOWN),
        stock=_stock(watch, view),
        off=watch.stopped_sources(),
        rules=_rules(watch),
        jam=None
        if stands is None
        else Jam(
            since=float(stands.since),
            sentence=stands.sentence,
            because=stands.because[:12],
            rows=stands.rows,
            belts=stands.belts,
        ),
    )


def _stock(watch: Watch, view: View) -> tuple[Stock, ...]:
    names = list(watch.era.plant.wiring.materials)
    cells = view.cells[view.cells > 0]
    carriers = np.bincount(cells >> 4, minlength=len(names))
    units = np.bincount(cells >> 4, weights=cells & 15, minlength=len(names))
    waiting = view.stations[(view.stations & 7) == STARVED] >> 3
    missing = np.bincount(waiting, minlength=len(names) + 1)
    return tuple(
        Stock(
            material=name,
            carriers=int(carriers[number]),
            units=int(units[number]),
            starved=int(missing[number + 1]),
        )
        for number, name in enumerate(names)
    )


def _rules(watch: Watch) -> dict[str, str]:
    """Rules that are not those of the layout at the start."""
    first, now = _rules_in(watch.eras[0].layout), _rules_in(watch.layout)
    return {name: rule for name, rule in now.items() if first[name] != rule}


def _rules_in(layout: Layout) -> dict[str, str]:
    rules = {gate.name: gate.rule for gate in layout.gates}
    rules |= {merge.name: merge.rule for merge in layout.merges}
    return rules | {divert.name: divert.rule for divert in layout.diverts}


def history_of(watch: Watch) -> History:
    """The whole run so far."""
    diary = watch.diary
    last = len(diary) - 1
    step = max(1, -(-last // MOST_POINTS))
    beats = [*range(0, last, step), last] if last > 0 else [0]
    back = max(step, MINUTE)
    spans = [(max(0, beat - back), beat) for beat in beats[1:]]
    return History(
        times=tuple(_time(watch, beat) for beat in beats[1:]),
        rate=tuple(
            round(
                (diary.total(last) - diary.total(first))
                / (_time(watch, last) - _time(watch, first)),
                3,
            )
            for first, last in spans
        ),
        starved=tuple(diary.starved[beat] for beat in beats[1:]),
        blocked=tuple(diary.blocked[beat] for beat in beats[1:]),
        events=tuple(_events(watch)),
    )


def _time(watch: Watch, beat: int) -> float:
    return float(watch.beat_tick(beat) * watch.tick)


def _events(watch: Watch) -> list[RunEvent]:
    """Outages, changes of rules and a jam, in the future that is known."""
    whole = watch.eras[-1]
    spans: dict[tuple[float, float], list[str]] = {}
    for outage in whole.scenario.outages:
        span = float(outage.start), float(outage.start + outage.span)
        spans.setdefault(span, []).append(outage.source)
    sources = whole.plant.wiring.sources
    events = []
    for (start, end), names in spans.items():
        materials = list(dict.fromkeys(sources[name].material for name in names))
        some = names[0] if len(names) == 1 else f"{len(names)} docks of {', '.join(materials)}"
        ends = end if end < 1e8 else None
        events.append(RunEvent(kind="outage", time=start, end=ends, words=f"no supply: {some}"))
    changes: dict[float, list[str]] = {}
    for supply in whole.scenario.disturbances.supplies:
        changes.setdefault(float(supply.start), []).append(supply.source)
    for time, changed in changes.items():
        brought = dict.fromkeys(sources[name].material for name in changed)
        words = f"supply of {', '.join(brought)} changes"
        events.append(RunEvent(kind="change", time=time, end=None, words=words))
    for era in watch.eras[1:]:
        if era.words:
            time = float(era.first * watch.tick)
            words = era.words if len(era.words) < 120 else f"{era.words[:119]}…"
            events.append(RunEvent(kind="change", time=time, end=None, words=words))
    stands = watch.known_standstill
    if stands is not None:
        time = float(stands.since)
        events.append(RunEvent(kind="jam", time=time, end=None, words=stands.sentence))
    return sorted(events, key=lambda event: event.time)


def device_message(reading: DeviceReading) -> Device:
    """What one device does, for the page."""
    past = reading.past
    return Device(
        name=reading.name,
        kind=reading.kind,
        facts=tuple(Fact(name=name, value=value) for name, value in reading.facts),
        chart=None
        if past is None
        else Chart(
            unit=past.unit,
            times=past.times,
            lines=tuple(
                ChartLine(
                    name=line.name,
                    material=line.material,
                    values=tuple(round(value, 4) for value in line.values),
                )
                for line in past.lines
            ),
        ),
        mix=reading.mix,
    )
