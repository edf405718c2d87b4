"""The plan of a project."""

from __future__ import annotations

from fractions import Fraction

from loopwright.exact import format_rate
from loopwright.finding import Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan.belt import plan_belts
from loopwright.plan.limit import find_headroom, plan_limits, plan_treatments
from loopwright.plan.material import plan_materials
from loopwright.plan.plan import Plan, ProcessPlan
from loopwright.plan.station import plan_process
from loopwright.plan.study import Settled, settle


def solve_plan(project: Project) -> Plan:
    """The exact steady state of `project`: rates, stations, imports, belts, power and effort.

    Raises
    ------
    DesignError
        A material has no source, processes use up what they make, or limits conflict; its findings
        name the limits and how far each has to move.
    """
    return plan_of(project, settle(project))


def plan_of(project: Project, settled: Settled) -> Plan:
    """The plan that belongs to quantities that are settled."""
    processes = _processes(project, settled)
    materials = plan_materials(project, settled.formulation, settled.optimum)
    maximised = project.choices.maximise
    return Plan(
        processes=processes,
        materials=materials,
        belts=plan_belts(project, materials),
        power=sum((entry.power for entry in processes), Fraction(0)),
        effort=sum((entry.effort for entry in processes), Fraction(0)),
        cost=settled.optimum.value,
        limits=plan_limits(settled),
        treatments=plan_treatments(project, settled),
        headroom=find_headroom(settled.formulation) if maximised == "none" else None,
        maximised="" if maximised == "none" else maximised,
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


def _processes(project: Project, settled: Settled) -> tuple[ProcessPlan, ...]:
    """Every process, by the ways that it runs in; by its plain one where it stands still."""
    formulation, optimum = settled.formulation, settled.optimum
    running = {way.process for column, way in formulation.ways.items() if optimum.x[column] > 0}
    found = []
    for column, way in formulation.ways.items():
        if optimum.x[column] > 0 or (way.process not in running and not way.treatment):
            line = formulation.programme.columns[column]
            paid = sum((value * optimum.y[row] for row, value in line.entries.items()), Fraction(0))
            found.append(plan_process(project, way, optimum.x[column], line.cost - paid))
    return tuple(found)
