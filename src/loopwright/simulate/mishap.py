"""Mishaps of a project, by kinds, as disturbances of a layout, by devices."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loopwright.finding import DesignError, new_finding
from loopwright.layout.layout import Layout, Source
from loopwright.model.near import nearest
from loopwright.simulate.disturbance import (
    Arrivals,
    BrownOut,
    Disturbances,
    Failure,
    Foreign,
    Law,
    Missed,
    Pace,
    Removal,
    Slow,
    Supply,
)

if TYPE_CHECKING:
    from loopwright.model.mishap import Law as Entry
    from loopwright.model.mishap import Mishaps


def disturbances_of(told: Mishaps, layout: Layout) -> Disturbances:
    """What `told` means for the devices of `layout`.

    Raises
    ------
    DesignError
        A mishap names a place that is not there.
    """
    check_places(told, layout)
    return Disturbances(
        paces=tuple(
            Pace(station.name, _law(told.cycles))
            for station in layout.stations
            if told.cycles.kind != "fixed"
        ),
        failures=tuple(_failures(told, layout)),
        missed=tuple(
            Missed(picker.name, told.missed_picks) for picker in layout.pickers if told.missed_picks
        ),
        arrivals=tuple(
            Arrivals(source.name, _law(entry.law), entry.queue)
            for entry in told.arrivals
            for source in _docks(layout, entry.material)
        ),
        supplies=tuple(
            Supply(source.name, entry.at, entry.factor * source.rate)
            for entry in told.supplies
            for source in _docks(layout, entry.material)
            if source.rate is not None
        ),
        brown_outs=tuple(BrownOut(one.at, one.span, one.speed) for one in told.brown_outs),
        slow=tuple(Slow(one.belt, one.cell, one.every, one.refuses) for one in told.slow),
        foreign=tuple(
            Foreign(one.belt, one.cell, one.material, one.units, one.at) for one in told.foreign
        ),
        removals=tuple(Removal(one.belt, one.cell, one.at) for one in told.removed),
    )


def check_places(told: Mishaps, layout: Layout) -> None:
    """Look up every cell that a mishap names.

    Raises
    ------
    DesignError
        The layout does not have one.
    """
    cells = {belt.name: len(belt.path) for belt in layout.belts}
    places: list[tuple[str, int | None, int]] = [(one.belt, one.cell, 2) for one in told.slow]
    places += [(one.belt, one.cell, 1) for one in told.foreign]
    places += [(one.belt, one.cell, 1) for one in told.removed]
    findings = []
    for belt, cell, behind in places:
        if belt not in cells:
            near = nearest(belt, cells)
            findings.append(
                new_finding(
                    "LW501",
                    f"a mishap names the belt {belt}, which the layout does not have",
                    value=belt,
                    allowed="a belt of the layout",
                    remedy=f"did you mean {near}?" if near else "look the name up in the layout",
                )
            )
        elif cell is not None and cell > cells[belt] - behind:
            findings.append(
                new_finding(
                    "LW501",
                    f"a mishap names a cell that {belt} does not have, or that is its last",
                    value=str(cell),
                    allowed=f"0 to {cells[belt] - behind}",
                    remedy="choose a cell of the belt",
                )
            )
    if findings:
        raise DesignError(tuple(findings))


def _law(entry: Entry) -> Law:
    return Law(entry.kind, entry.spread, entry.values)


def _docks(layout: Layout, material: str) -> Iterator[Source]:
    return (source for source in layout.sources if source.material == material)


def _failures(told: Mishaps, layout: Layout) -> Iterator[Failure]:
    """The first entry that is about a station counts."""
    for station in layout.stations:
        for entry in told.failures:
            if entry.process in (None, station.recipe):
                yield Failure(station.name, entry.up, entry.down, entry.clock, _law(entry.law))
                break
