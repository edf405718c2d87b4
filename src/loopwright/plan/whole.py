"""Whole stations where kinds compete: rounding up each way may take more than there are.

A search over whole numbers (in floats) proposes how many stations each way gets; with these as
limits the exact programme is solved again, so that rates and proof are exact in any case. That no
other division of the stations is cheaper rests on the search.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from loopwright.model import Project
from loopwright.plan.formulation import Formulation, Limit, station_cost
from loopwright.plan.programme import Column, Optimum, Programme, Row
from loopwright.plan.station import whole_stations

ONE = Fraction(1)


def is_over(project: Project, formulation: Formulation, optimum: Optimum) -> bool:
    """Whether the stations, each way rounded up, are more than a limit allows."""
    stations = project.equipment.stations
    return any(
        (limit := stations[kind].limit) is not None and count > limit
        for kind, count in whole_stations(formulation.ways, optimum.x).items()
    )


def divide_stations(
    project: Project, formulation: Formulation, *, by_cost: bool
) -> dict[int, int] | None:
    """Whole stations of each way, by column, on the kinds that are limited; None where no
    division is found. With `by_cost` the stations cost what the objective says."""
    from loopwright.plan.basis import suggest_whole

    programme, ways = formulation.programme, _competing(project, formulation)
    rows, columns = list(programme.rows), list(programme.columns)
    limits = {
        entry.name: row for row, entry in formulation.limits.items() if entry.kind == "stations"
    }
    counted = []
    for column, kind in ways.items():
        time, old = formulation.ways[column].time, columns[column]
        rows.append(Row(f"whole {old.name}", "<=", Fraction(0)))
        entries = {row: value for row, value in old.entries.items() if row != limits[kind]}
        cost = station_cost(project, kind) if by_cost else Fraction(0)
        columns[column] = Column(old.name, old.cost - cost * time, {**entries, len(rows) - 1: time})
        counted.append(len(columns))
        columns.append(
            Column(f"stations {old.name}", cost, {len(rows) - 1: -ONE, limits[kind]: ONE})
        )
    found = suggest_whole(Programme(programme.aim, tuple(rows), tuple(columns)), counted)
    return None if found is None else dict(zip(ways, found, strict=True))


def with_stations(formulation: Formulation, stations: Mapping[int, int]) -> Formulation:
    """The formulation with so many stations for each way, by column, as limits."""
    rows, columns = list(formulation.programme.rows), list(formulation.programme.columns)
    limits = dict(formulation.limits)
    for column, count in stations.items():
        way, old = formulation.ways[column], columns[column]
        reason = f"equipment.stations.{way.station}.limit"
        limits[len(rows)] = Limit("share", way.process, reason)
        rows.append(Row(f"whole {old.name}", "<=", Fraction(count), reason))
        columns[column] = replace(old, entries={**old.entries, len(rows) - 1: way.time})
    programme = Programme(formulation.programme.aim, tuple(rows), tuple(columns))
    return replace(formulation, programme=programme, limits=limits)


def _competing(project: Project, formulation: Formulation) -> dict[int, str]:
    """Ways on limited kinds, by column."""
    return {
        column: way.station
        for column, way in formulation.ways.items()
        if project.equipment.stations[way.station].limit is not None
    }
