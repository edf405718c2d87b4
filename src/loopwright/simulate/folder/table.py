"""The readings of a run as tables: rates and shares as floats, the exact ones are in run.json."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil
from typing import Any

from loopwright.simulate.folder.parquet import Table
from loopwright.simulate.reading.count import read_run, warm_samples, warm_ticks
from loopwright.simulate.reading.readings import Readings
from loopwright.simulate.run import Run
from loopwright.simulate.samples import PLACES, Samples

Rows = Iterator[tuple[Any, ...]]


def _columns(text: str) -> tuple[tuple[str, str], ...]:
    """Columns from "name kind, name kind"."""
    pairs = [entry.split() for entry in text.split(", ")]
    return tuple((name, kind) for name, kind in pairs)


SERIES = _columns("end number, drain text, material text, units whole")
STATIONS = _columns("station text, row text, busy number, blocked number, starved number")
STARVED = _columns("station text, material text, share number")
JOINTS = _columns("joint text, kind text, belt text, inlet text, passed whole, offered whole")
SOURCES = _columns("source text, belt text, material text, carriers whole, rate number")
PICKERS = _columns("picker text, source text, target text, picks whole, use number")
APPLICATORS = _columns(
    "applicator text, belt text, agent text, carriers whole, rate number, spent number, "
    "dry number, late number"
)
BELTS = _columns("end number, belt text, material text, carriers whole")
STOCK = _columns("end number, place text, material text, units whole")
CELLS = _columns("belt text, cell whole, material text, share number, units_at_end whole")


def run_tables(run: Run) -> dict[str, Table]:
    """All tables of `run` by name; those read after the warm-up are left out where it never ended.

    Times are in seconds from the start of the run.
    """
    tables = {"series": Table(SERIES, list(_series(run)))}
    if run.samples is not None:
        tables["belts"] = Table(BELTS, list(_belts(run, run.samples)))
        tables["stock"] = Table(STOCK, list(_stock(run, run.samples)))
        tables["cells"] = Table(CELLS, list(_cells(run, run.samples)))
    if run.ticks > warm_ticks(run):
        tables |= _read(read_run(run))
    return tables


def _read(readings: Readings) -> dict[str, Table]:
    stations = [
        (one.name, one.row, one.busy, one.blocked, one.waiting) for one in readings.stations
    ]
    starved = [
        (one.name, material, share)
        for one in readings.stations
        for material, share in one.starved.items()
    ]
    joints = [
        (one.name, one.kind, one.belt, inlet, passed, one.offered)
        for one in readings.joints
        for inlet, passed in one.passed
    ]
    sources = [
        (one.name, one.belt, one.material, one.carriers, one.rate) for one in readings.sources
    ]
    pickers = [(one.name, one.source, one.target, one.picks, one.use) for one in readings.pickers]
    applicators = [
        (
            one.name,
            one.belt,
            one.agent,
            one.carriers,
            one.rate,
            one.spent,
            one.dry or 0,
            one.late or 0,
        )
        for one in readings.applicators
    ]
    return {
        "stations": Table(STATIONS, stations),
        "starved": Table(STARVED, starved),
        "joints": Table(JOINTS, joints),
        "sources": Table(SOURCES, sources),
        "pickers": Table(PICKERS, pickers),
        "applicators": Table(APPLICATORS, applicators),
    }


def _end(run: Run, number: int) -> Fraction:
    """The end of bin `number`, counted from 1 [s]."""
    return min(ceil(run.scenario.bin * number / run.tick), run.ticks) * run.tick


def _series(run: Run) -> Rows:
    for drain, bins in run.bins.items():
        for number, units in enumerate(bins, start=1):
            for material, count in units.items():
                yield _end(run, number), drain, material, count


def _belts(run: Run, samples: Samples) -> Rows:
    for number, by_belt in enumerate(samples.carriers.tolist(), start=1):
        end = _end(run, number)
        for belt, counts in zip(samples.belts, by_belt, strict=True):
            for material, count in zip(samples.materials, counts, strict=True):
                if count:
                    yield end, belt, material, count


def _stock(run: Run, samples: Samples) -> Rows:
    for number, by_place in enumerate(samples.stock.tolist(), start=1):
        end = _end(run, number)
        for place, counts in zip(PLACES, by_place, strict=True):
            for material, units in zip(samples.materials, counts, strict=True):
                yield end, place, material, units


def _cells(run: Run, samples: Samples) -> Rows:
    counts = (samples.occupied - samples.occupied_warm).tolist()
    taken = max(len(samples) - warm_samples(run), 1)
    at = 0
    for belt in samples.belts:
        for cell, carrier in enumerate(run.end.belts[belt]):
            for material, count in zip(samples.materials, counts[at], strict=True):
                units = carrier[1] if carrier and carrier[0] == material else 0
                if count or units:
                    yield belt, cell, material, Fraction(count, taken), units
            at += 1
