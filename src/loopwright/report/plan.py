"""Second part: how much of everything."""

from __future__ import annotations

from fractions import Fraction

from loopwright.drawing import plan_chart, plan_materials
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.plan import Plan
from loopwright.report.figure import chart
from loopwright.report.html import Html, join, table
from loopwright.report.number import NONE, amount, counted
from loopwright.report.section import Section


def plan_section(project: Project, plan: Plan, layout: Layout) -> Section:
    """Flow diagram, processes, materials and belts of the plan."""
    body = join(
        _flow(project, plan, layout),
        _processes(project, plan),
        _materials(project, plan),
        _belts(project, plan),
    )
    return Section("plan", "Plan", "How much of everything the demand takes, exactly.", body)


def _flow(project: Project, plan: Plan, layout: Layout) -> Html:
    svg = plan_chart(
        plan,
        materials=plan_materials(project, plan, layout.materials),
        titles={name: process.title for name, process in project.processes.items()},
        theme="page",
        prefix="flow",
    )
    return chart(svg, "From what comes in, on the left, to what goes out; widths to scale.")


def _processes(project: Project, plan: Plan) -> Html:
    rows = [
        (
            project.processes[entry.process].title,
            project.equipment.stations[entry.station].title,
            amount(entry.cycles),
            amount(entry.stations),
            counted(entry.whole),
            amount(entry.power),
            amount(entry.effort),
        )
        for entry in plan.processes
    ]
    heads = (
        "Process", "Station", "Cycles/s", "Stations, exact", "whole", "Power [kW]", "Effort"
    )  # fmt: skip
    whole = sum(entry.whole for entry in plan.processes)
    foot = ("In all", "", "", "", counted(whole), amount(plan.power), amount(plan.effort))
    return table("Processes", heads, rows, numbers=range(2, 7), foot=foot)


def _materials(project: Project, plan: Plan) -> Html:
    rows = [
        (
            _named(project, entry.material),
            *(
                amount(value) if value else NONE
                for value in (
                    entry.made,
                    entry.imported,
                    entry.used,
                    entry.demanded,
                    entry.surplus,
                )
            ),
        )
        for entry in plan.materials
    ]
    heads = ("Material", "Made", "Imported", "Used", "Delivered", "Surplus")
    return table("Materials [units/s]", heads, rows, numbers=range(1, 6))


def _named(project: Project, material: str) -> str:
    """Letter and title, with the key where it differs: devices and sentences use the key."""
    title = project.materials[material].title
    key = "" if title.casefold() == material.casefold() else f" ({material})"
    return f"{project.letters[material]}  {title}{key}"


def _belts(project: Project, plan: Plan) -> Html:
    """Belts filled by each material, a column for each stack."""
    stacks = sorted({need.stack for need in plan.belts})
    needs: dict[tuple[str, str], dict[int, Fraction]] = {}
    for need in plan.belts:
        needs.setdefault((need.material, need.belt), {})[need.stack] = need.belts
    rows = [
        (
            project.materials[material].title,
            project.equipment.belts[belt].title,
            str(project.materials[material].stack),
            *(amount(found[stack]) if stack in found else NONE for stack in stacks),
        )
        for (material, belt), found in needs.items()
    ]
    heads = ("Material", "Belt", "Own stack", *(f"Stack {stack}" for stack in stacks))
    return table(
        "Belts that each material fills, by units on a carrier",
        heads,
        rows,
        numbers=range(2, 3 + len(stacks)),
    )
