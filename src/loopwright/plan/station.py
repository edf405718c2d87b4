"""From cycles a second to stations, power and effort."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from loopwright.finding import Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan.amount import amount_text
from loopwright.plan.formulation import Way
from loopwright.plan.plan import Flow, ProcessPlan


def plan_process(
    project: Project, way: Way, cycles: Fraction, premium: Fraction = Fraction(0)
) -> ProcessPlan:
    """Stations that run one way of a process at `cycles` [1/s], and what the whole ones take."""
    station = project.equipment.stations[way.station]
    exact = cycles * way.time
    whole = ceil(exact)
    power, effort = whole * station.power, whole * station.effort
    applicators, whole_applicators = Fraction(0), 0
    if way.treatment:
        treatment = project.equipment.treatments[way.treatment]
        applicators = cycles * way.marks / treatment.rate
        whole_applicators = ceil(applicators)
        power += whole_applicators * treatment.power
        effort += whole_applicators * treatment.effort
    return ProcessPlan(
        process=way.process,
        station=way.station,
        cycles=cycles,
        stations=exact,
        whole=whole,
        power=power,
        effort=effort,
        treatment=way.treatment,
        spare=whole / way.time - cycles,
        applicators=applicators,
        whole_applicators=whole_applicators,
        makes=_flows(way.makes, cycles),
        uses=_flows(way.uses, cycles),
        premium=premium,
    )


def whole_stations(ways: Mapping[int, Way], x: tuple[Fraction, ...]) -> dict[str, int]:
    """Whole stations of each kind at these cycles, each way rounded up by itself."""
    counts: dict[str, int] = {}
    for column, way in ways.items():
        counts[way.station] = counts.get(way.station, 0) + ceil(x[column] * way.time)
    return counts


def too_many_stations(
    project: Project, ways: Mapping[int, Way], x: tuple[Fraction, ...]
) -> list[Finding]:
    """A finding for each station kind of which more whole ones are needed than there are."""
    findings = []
    for kind, whole in whole_stations(ways, x).items():
        limit = project.equipment.stations[kind].limit
        if limit is None or whole <= limit:
            continue
        shares = ", ".join(
            f"{way.process} {amount_text(x[column] * way.time)}"
            for column, way in ways.items()
            if way.station == kind and x[column]
        )
        findings.append(
            new_finding(
                "LW202",
                f"{whole} stations of kind {kind} are needed ({shares}), {whole - limit} more than "
                f"the limit of {limit}",
                Place(path=f"equipment.stations.{kind}.limit"),
                value=str(whole),
                allowed=f"at most {limit}",
            )
        )
    return findings


def _flows(units: Mapping[str, Fraction], cycles: Fraction) -> tuple[Flow, ...]:
    return tuple(Flow(material, count * cycles) for material, count in units.items())
