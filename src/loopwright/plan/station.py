"""From cycles a second to stations, power and effort."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from loopwright.exact import format_fraction
from loopwright.finding import Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan.plan import ProcessPlan


def plan_process(project: Project, name: str, cycles: Fraction) -> ProcessPlan:
    """Stations that run process `name` at `cycles` [1/s], and what the whole ones take."""
    process = project.processes[name]
    station = project.station_of(name)
    exact = cycles * process.cycle / station.speed
    whole = ceil(exact)
    return ProcessPlan(
        process=name,
        station=process.station,
        cycles=cycles,
        stations=exact,
        whole=whole,
        power=whole * station.power,
        effort=whole * station.effort,
    )


def check_station_limits(project: Project, processes: tuple[ProcessPlan, ...]) -> list[Finding]:
    """A finding for each station kind of which more are needed than there are."""
    needed: dict[str, list[ProcessPlan]] = {}
    for entry in processes:
        needed.setdefault(entry.station, []).append(entry)
    findings = []
    for kind, entries in needed.items():
        limit = project.equipment.stations[kind].limit
        whole = sum(entry.whole for entry in entries)
        if limit is None or whole <= limit:
            continue
        shares = ", ".join(
            f"{entry.process} {format_fraction(entry.stations)}" for entry in entries
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
