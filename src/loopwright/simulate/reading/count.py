"""From the counters of a run to its readings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from math import ceil

from loopwright.layout.layout import Belt, Layout
from loopwright.simulate.audit import batches_ended
from loopwright.simulate.reading.readings import (
    ApplicatorReading,
    BeltReading,
    DrainReading,
    JointReading,
    MaterialBalance,
    PickerReading,
    Readings,
    Series,
    SourceReading,
    Stock,
    TimeShares,
)
from loopwright.simulate.run import Run
from loopwright.simulate.state import State, StationCount


def read_run(run: Run) -> Readings:
    """The readings of `run`.

    Raises
    ------
    ValueError
        Nothing is left after the warm-up.
    """
    first = warm_ticks(run)
    if first >= run.ticks:
        raise ValueError("the warm-up is as long as the run: nothing is left to read")
    span = (run.ticks - first) * run.tick
    products = [drain.name for drain in run.layout.drains if drain.purpose == "product"]
    stations = tuple(_stations(run))
    return Readings(
        span=span,
        drains=tuple(_drains(run, span)),
        series=_series(run, products),
        drain_series={name: _series(run, [name]) for name in run.bins},
        rows=tuple(_rows(stations)),
        stations=stations,
        joints=tuple(_joints(run)),
        sources=tuple(_sources(run, span)),
        pickers=tuple(_pickers(run, span)),
        belts=tuple(_belts(run)),
        stocks=tuple(_stocks(run)),
        balance=tuple(_balance(run)),
        applicators=tuple(_applicators(run, span)),
    )


def warm_ticks(run: Run) -> int:
    """The tick at which the warm-up ends, counted from the start of the run."""
    return ceil(run.scenario.warm_up / run.tick)


def warm_samples(run: Run) -> int:
    """How many samples were taken in the warm-up, up to its very end."""
    return int(warm_ticks(run) * run.tick // run.scenario.bin)


def steps_of(run: Run, belt: Belt) -> int:
    """Steps that `belt` made after the warm-up."""
    start, step = run.start.tick, int(1 / belt.speed / run.tick)
    return (start + run.ticks) // step - (start + warm_ticks(run)) // step


def _difference(end: Mapping[str, int], warm: Mapping[str, int]) -> dict[str, int]:
    rest = {name: count - warm.get(name, 0) for name, count in end.items()}
    return {name: count for name, count in rest.items() if count}


def _drains(run: Run, span: Fraction) -> Iterator[DrainReading]:
    for drain in run.layout.drains:
        end, warm = run.end.counters.drains[drain.name], run.warm.drains[drain.name]
        units = _difference(end.units, warm.units)
        carriers = sum(_difference(end.carriers, warm.carriers).values())
        rates = {material: count / span for material, count in units.items()}
        yield DrainReading(drain.name, drain.belt, drain.purpose, rates, carriers / span)


def _series(run: Run, drains: Iterable[str]) -> Series:
    """The rate of all `drains` together in each bin."""
    bins = [run.bins[name] for name in drains]
    ends, rates, begin = [], [], 0
    for index, units in enumerate(zip(*bins, strict=True), start=1):
        end = min(ceil(run.scenario.bin * index / run.tick), run.ticks)
        if end > begin:
            ends.append(end * run.tick)
            rates.append(sum(sum(one.values()) for one in units) / ((end - begin) * run.tick))
        begin = end
    return Series(tuple(ends), tuple(rates))


def _stations(run: Run) -> Iterator[TimeShares]:
    for station in run.layout.stations:
        end = run.end.counters.stations[station.name]
        warm = run.warm.stations[station.name]
        yield _shares(station.name, station.row, end, warm)


def _shares(name: str, row: str, end: StationCount, warm: StationCount) -> TimeShares:
    busy, blocked = end.busy - warm.busy, end.blocked - warm.blocked
    starved = _difference(end.starved, warm.starved)
    down = end.down - warm.down
    ticks = busy + blocked + sum(starved.values()) + down
    return TimeShares(
        name,
        row,
        1,
        Fraction(busy, ticks),
        Fraction(blocked, ticks),
        {material: Fraction(count, ticks) for material, count in starved.items()},
        Fraction(down, ticks),
    )


def _rows(stations: Iterable[TimeShares]) -> Iterator[TimeShares]:
    rows: dict[str, list[TimeShares]] = {}
    for station in stations:
        rows.setdefault(station.row, []).append(station)
    for row, members in rows.items():
        starved: dict[str, Fraction] = {}
        for one in members:
            for material, share in one.starved.items():
                starved[material] = starved.get(material, Fraction(0)) + share / len(members)
        yield TimeShares(
            row,
            row,
            len(members),
            sum((one.busy for one in members), Fraction(0)) / len(members),
            sum((one.blocked for one in members), Fraction(0)) / len(members),
            dict(sorted(starved.items())),
            sum((one.down for one in members), Fraction(0)) / len(members),
        )


def _joints(run: Run) -> Iterator[JointReading]:
    belts = {belt.name: belt for belt in run.layout.belts}

    def reading(
        name: str, kind: str, belt: str, inlets: tuple[str, ...], main: str | None = None
    ) -> JointReading:
        end, warm = run.end.counters.joints[name], run.warm.joints[name]
        counts = [a - b for a, b in zip(end.passed, warm.passed, strict=True)]
        passed = tuple(zip(inlets, counts, strict=True))
        steps = steps_of(run, belts[belt])
        return JointReading(name, kind, belt, steps, end.offered - warm.offered, passed, main)

    for gate in run.layout.gates:
        inlets = gate.inlets if gate.main is None else (*gate.inlets, gate.main)
        yield reading(gate.name, "gate", gate.outlet, inlets, gate.main)
    for merge in run.layout.merges:
        yield reading(merge.name, "merge", merge.outlet, merge.inlets)
    for side in run.layout.side_merges:
        yield reading(side.name, "side merge", side.main, (side.inlet,))


def _sources(run: Run, span: Fraction) -> Iterator[SourceReading]:
    for source in run.layout.sources:
        end, warm = run.end.counters.sources[source.name], run.warm.sources[source.name]
        carriers, refused = end.carriers - warm.carriers, end.refused - warm.refused
        ready = carriers + refused
        yield SourceReading(
            source.name,
            source.belt,
            source.material,
            carriers,
            (end.units - warm.units) / span,
            Fraction(refused, ready) if ready else None,
        )


def _pickers(run: Run, span: Fraction) -> Iterator[PickerReading]:
    for picker in run.layout.pickers:
        picks = run.end.counters.picks[picker.name] - run.warm.picks[picker.name]
        use = min(Fraction(1), picks * picker.swing / span)
        yield PickerReading(picker.name, picker.source.device, picker.target.device, picks, use)


def _applicators(run: Run, span: Fraction) -> Iterator[ApplicatorReading]:
    for one in run.layout.applicators:
        end, warm = run.end.counters.applicators[one.name], run.warm.applicators[one.name]
        carriers, dry, late = (
            getattr(end, name) - getattr(warm, name) for name in ("carriers", "dry", "late")
        )
        steps = carriers + dry + late
        yield ApplicatorReading(
            one.name,
            one.belt,
            one.agent,
            carriers,
            (end.units - warm.units) / span,
            (end.spent - warm.spent) / span,
            Fraction(dry, steps) if steps else None,
            Fraction(late, steps) if steps else None,
        )


def _heads(run: Run) -> dict[str, int]:
    """Carriers that left the head of each belt after the warm-up."""
    end, warm = run.end.counters, run.warm
    left: dict[str, int] = {}
    for drain in run.layout.drains:
        taken = _difference(end.drains[drain.name].carriers, warm.drains[drain.name].carriers)
        left[drain.belt] = sum(taken.values())
    for divert in run.layout.diverts:
        left[divert.inlet] = sum(end.diverts[divert.name]) - sum(warm.diverts[divert.name])
    for joint in _joints(run):
        left.update(joint.passed)
    return left


def _belts(run: Run) -> Iterator[BeltReading]:
    left = _heads(run)
    for belt in run.layout.belts:
        carriers: Counter[str] = Counter()
        units: Counter[str] = Counter()
        for carrier in run.end.belts[belt.name]:
            if carrier is not None:
                carriers[carrier[0]] += 1
                units[carrier[0]] += carrier[1]
        steps = steps_of(run, belt)
        flow = Fraction(left[belt.name], steps) if belt.name in left and steps else None
        yield BeltReading(belt.name, belt.role, len(belt.path), carriers, units, flow)


def _held(layout: Layout, state: State) -> dict[str, Counter[str]]:
    """Units of each material on belts, in hands, in stations and in stores; tanks of applicators
    count with the stations."""
    places: dict[str, Counter[str]] = {
        name: Counter() for name in ("belts", "hands", "stations", "stores")
    }
    for cells in state.belts.values():
        for carrier in cells:
            if carrier is not None:
                places["belts"][carrier[0]] += carrier[1]
    for picker in state.pickers.values():
        if picker.material is not None:
            places["hands"][picker.material] += picker.count
    for station in state.stations.values():
        places["stations"].update(station.inputs)
        places["stations"].update(station.outlet)
    for store in state.stores.values():
        places["stores"].update(store)
    for applicator in layout.applicators:
        places["stations"][applicator.agent] += state.applicators[applicator.name].held
    return places


def _stocks(run: Run) -> Iterator[Stock]:
    places = _held(run.layout, run.end)
    for material in run.layout.materials:
        yield Stock(material.name, **{place: held[material.name] for place, held in places.items()})


def _balance(run: Run) -> Iterator[MaterialBalance]:
    before, after = _held(run.layout, run.start), _held(run.layout, run.end)
    was, now = run.start.counters, run.end.counters
    put: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    used: Counter[str] = Counter()
    made: dict[str, Fraction] = {}
    for source in run.layout.sources:
        put[source.material] += now.sources[source.name].units - was.sources[source.name].units
    for drain in run.layout.drains:
        taken.update(_difference(now.drains[drain.name].units, was.drains[drain.name].units))
    recipes = {recipe.name: recipe for recipe in run.layout.recipes}
    for station in run.layout.stations:
        recipe = recipes[station.recipe]
        one, other = was.stations[station.name], now.stations[station.name]
        for material, units in recipe.inputs:
            used[material] += units * (other.started - one.started)
        for material, units in recipe.outputs:
            batches = units * recipe.batch_yield * batches_ended(recipe, one, other)
            kept = run.start.stations[station.name].kept.get(material, Fraction(0))
            left = run.end.stations[station.name].kept.get(material, Fraction(0))
            made[material] = made.get(material, Fraction(0)) + batches + kept - left
    for applicator in run.layout.applicators:
        spent = (counts.applicators[applicator.name].spent for counts in (was, now))
        used[applicator.agent] -= next(spent) - next(spent)
    put.update(_difference(now.put, was.put))
    taken.update(_difference(now.removed, was.removed))
    for entry in run.layout.materials:
        name = entry.name
        whole = made.get(name, Fraction(0))
        assert whole.denominator == 1, f"{name}: stations made a part of a unit"
        yield MaterialBalance(
            material=name,
            start=sum(held[name] for held in before.values()),
            put=put[name],
            made=int(whole),
            used=used[name],
            taken=taken[name],
            held=sum(held[name] for held in after.values()),
        )
