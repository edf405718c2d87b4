"""Project -> programme: which quantities there are, what binds them, what they cost.

For every material, made + imported + drawn = used + drained + delivered. The rest are limits:
each has a row of its own, named by its key path in the project file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.model import Objective, Project, Treatment
from loopwright.plan.balance import Balance
from loopwright.plan.programme import Column, Programme, Row, Sense

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Way:
    """One way to run a process: plain, or with a treatment (else "").

    `time` [s] of a station a cycle, `marks` units marked a cycle, `net` units that a cycle adds.
    """

    process: str
    treatment: str
    station: str
    time: Fraction
    marks: Fraction
    makes: Mapping[str, Fraction]
    uses: Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Limit:
    """What a row of the programme says: `kind` is demand, stations, docks, deposit, least, most,
    surplus or share; `name` the material, process or station kind."""

    kind: str
    name: str
    path: str


@dataclass(frozen=True, slots=True)
class Formulation:
    """A programme, and what its rows and columns are: columns by what they stand for, rows of
    limits by place."""

    programme: Programme
    ways: Mapping[int, Way]
    imports: Mapping[str, int]
    draws: Mapping[int, int]
    drains: Mapping[str, int]
    deliveries: Mapping[str, int]
    materials: Mapping[str, int]
    limits: Mapping[int, Limit]


def formulate(project: Project, balance: Balance) -> Formulation:
    """The programme of least cost for the demand of `project`."""
    builder = _Builder(project)
    for material in balance.materials:
        builder.materials[material] = builder.row(f"material {material}", "=", ZERO)
    for name in balance.processes:
        builder.add_process(name)
    made = {material for way in builder.ways.values() for material in way.makes}
    for material in balance.materials:
        builder.add_sources(material)
        if material in made:
            builder.add_drain(material)
    for material, rate in balance.demand.items():
        builder.add_delivery(material, rate)
    builder.add_station_limits()
    aim = "least cost by the weights of choices.objective"
    programme = Programme(aim, tuple(builder.rows), tuple(builder.columns))
    return Formulation(
        programme,
        builder.ways,
        builder.imports,
        builder.draws,
        builder.drains,
        builder.deliveries,
        builder.materials,
        builder.limits,
    )


def station_cost(project: Project, kind: str) -> Fraction:
    """Cost of one station by the weights of the objective."""
    weights, station = project.choices.objective, project.equipment.stations[kind]
    floor = weights.floor * station.width * station.height
    return (
        weights.effort * station.effort + weights.stations + weights.power * station.power + floor
    )


def applicator_cost(weights: Objective, treatment: Treatment) -> Fraction:
    """Cost of one applicator by the weights of the objective."""
    return weights.effort * treatment.effort + weights.power * treatment.power


def ways_of(project: Project, name: str) -> list[Way]:
    """The ways to run process `name`: plain first, then with each treatment for it."""
    process, speed = project.processes[name], project.station_of(name).speed
    makes = {m: units * process.batch_yield for m, units in process.outputs.items()}
    uses = {m: Fraction(units) for m, units in process.inputs.items()}
    ways = [Way(name, "", process.station, process.cycle / speed, ZERO, makes, uses)]
    for key, treatment in project.equipment.treatments.items():
        marks = sum(uses.values(), ZERO)
        if name not in treatment.processes or not marks:
            continue
        spent = treatment.dose * marks
        ways.append(
            Way(
                name,
                key,
                process.station,
                process.cycle / (speed * treatment.speed),
                marks,
                {m: units * treatment.batch_yield for m, units in makes.items()},
                {**uses, treatment.agent: uses.get(treatment.agent, ZERO) + spent},
            )
        )
    return ways


class _Builder:
    """Rows and columns as they grow."""

    def __init__(self, project: Project) -> None:
        self.project = project
        self.weights = project.choices.objective
        self.rows: list[Row] = []
        self.columns: list[Column] = []
        self.ways: dict[int, Way] = {}
        self.imports: dict[str, int] = {}
        self.draws: dict[int, int] = {}
        self.drains: dict[str, int] = {}
        self.deliveries: dict[str, int] = {}
        self.materials: dict[str, int] = {}
        self.limits: dict[int, Limit] = {}
        self.at_stations: dict[str, dict[int, Fraction]] = {}
        self.made = {m for process in project.processes.values() for m in process.outputs}

    def row(self, name: str, sense: Sense, rhs: Fraction, limit: Limit | None = None) -> int:
        """Add a row; its place."""
        self.rows.append(Row(name, sense, rhs, limit.path if limit else ""))
        if limit:
            self.limits[len(self.rows) - 1] = limit
        return len(self.rows) - 1

    def column(self, name: str, cost: Fraction, entries: Mapping[int, Fraction]) -> int:
        """Add a column without entries of 0; its place."""
        kept = {row: value for row, value in entries.items() if value}
        self.columns.append(Column(name, cost, kept))
        return len(self.columns) - 1

    def add_process(self, name: str) -> None:
        """The ways of one process and the limits of its rate."""
        process, bounds = self.project.processes[name], []
        if process.least > 0:
            limit = Limit("least", name, f"processes.{name}.least")
            bounds.append(self.row(f"least {name}", ">=", process.least, limit))
        if process.most is not None:
            limit = Limit("most", name, f"processes.{name}.most")
            bounds.append(self.row(f"most {name}", "<=", process.most, limit))
        for way in ways_of(self.project, name):
            entries = {self.materials[m]: units for m, units in way.makes.items()}
            for material, units in way.uses.items():
                row = self.materials[material]
                entries[row] = entries.get(row, ZERO) - units
            entries.update(dict.fromkeys(bounds, Fraction(1)))
            cost = way.time * station_cost(self.project, way.station)
            if way.treatment:
                treatment = self.project.equipment.treatments[way.treatment]
                cost += way.marks / treatment.rate * applicator_cost(self.weights, treatment)
            label = f"run {name}" + (f" with {way.treatment}" if way.treatment else "")
            at = self.column(label, cost, entries)
            self.ways[at] = way
            self.at_stations.setdefault(way.station, {})[at] = way.time

    def add_sources(self, material: str) -> None:
        """Imports and deposits of one material."""
        row, site = self.materials[material], self.project.site
        supply = self.project.materials[material].supply
        given = material in self.made or self.project.deposits(material)
        if supply in ("imported", "either") or (supply == "auto" and not given):
            entries = {row: Fraction(1)}
            docks = [at for at, dock in enumerate(site.docks) if dock.material == material]
            if docks:
                rate = sum((site.docks[at].rate for at in docks), ZERO)
                limit = Limit("docks", material, f"site.docks[{docks[0] + 1}].rate")
                entries[self.row(f"docks {material}", "<=", rate, limit)] = Fraction(1)
            cost = self.weights.imports * self.project.materials[material].price
            self.imports[material] = self.column(f"import {material}", cost, entries)
        for at, deposit in enumerate(site.deposits):
            if deposit.material == material:
                limit = Limit("deposit", material, f"site.deposits[{at + 1}].rate")
                bound = self.row(f"deposit {at + 1} {material}", "<=", deposit.rate, limit)
                cost = self.weights.imports * deposit.price
                entries = {row: Fraction(1), bound: Fraction(1)}
                self.draws[at] = self.column(f"draw {at + 1} {material}", cost, entries)

    def add_drain(self, material: str) -> None:
        """What is made and not used."""
        about, entries = self.project.materials[material], {self.materials[material]: Fraction(-1)}
        if about.surplus == "forbid":
            limit = Limit("surplus", material, f"materials.{material}.surplus")
            entries[self.row(f"surplus {material}", "<=", ZERO, limit)] = Fraction(1)
        cost = self.weights.drains * about.drain_price
        self.drains[material] = self.column(f"drain {material}", cost, entries)

    def add_delivery(self, material: str, rate: Fraction) -> None:
        """What is demanded."""
        limit = Limit("demand", material, f"demand.{material}")
        sense: Sense = ">=" if self.project.choices.maximise == material else "="
        bound = self.row(f"demand {material}", sense, rate, limit)
        entries = {self.materials[material]: Fraction(-1), bound: Fraction(1)}
        self.deliveries[material] = self.column(f"deliver {material}", ZERO, entries)

    def add_station_limits(self) -> None:
        """Stations of a kind, over all processes on it."""
        for kind, times in self.at_stations.items():
            most = self.project.equipment.stations[kind].limit
            if most is not None:
                limit = Limit("stations", kind, f"equipment.stations.{kind}.limit")
                bound = self.row(f"stations {kind}", "<=", Fraction(most), limit)
                for at, time in times.items():
                    column = self.columns[at]
                    self.columns[at] = Column(
                        column.name, column.cost, {**column.entries, bound: time}
                    )
