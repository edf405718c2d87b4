"""The plan of a project."""

from __future__ import annotations

from fractions import Fraction

from loopwright.exact import format_rate
from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan.balance import collect_balance
from loopwright.plan.belt import plan_belts
from loopwright.plan.material import check_docks, plan_material
from loopwright.plan.plan import Plan
from loopwright.plan.solve import solve_rates
from loopwright.plan.station import check_station_limits, plan_process


def solve_plan(project: Project) -> Plan:
    """The exact steady state of `project`: rates, stations, imports, belts, power and effort.

    Raises
    ------
    DesignError
        A material has several makers or none, processes use up what they make, or a limit of
        stations or docks is exceeded. Its findings name all faults of the step that failed.
    """
    balance = collect_balance(project)
    rates = solve_rates(balance)
    processes = tuple(plan_process(project, name, rates[name]) for name in balance.processes)
    materials = tuple(plan_material(balance, rates, name) for name in balance.materials)
    findings = check_station_limits(project, processes) + check_docks(project, materials)
    if findings:
        raise DesignError(tuple(findings))
    return Plan(
        processes=processes,
        materials=materials,
        belts=plan_belts(project, materials),
        power=sum((entry.power for entry in processes), Fraction(0)),
        effort=sum((entry.effort for entry in processes), Fraction(0)),
    )


def check_plan(plan: Plan) -> tuple[Finding, ...]:
    """Warnings about a plan that works: materials of which more is made than used."""
    return tuple(
        new_finding(
            "LW205",
            f"{entry.material}: {format_rate(entry.surplus)} more are made than anything takes",
            Place(path=f"materials.{entry.material}"),
            value=format_rate(entry.surplus),
        )
        for entry in plan.materials
        if entry.surplus > 0
    )
