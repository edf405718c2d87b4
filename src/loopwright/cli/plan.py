"""`loopwright plan`: how much of everything."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from loopwright.cli.option import AsJson, ProjectFile

if TYPE_CHECKING:
    from loopwright.plan import Plan

EXAMPLES = (
    ("loopwright plan bakery.yaml", "tables of processes, materials and belts"),
    ("loopwright plan bakery.yaml --json > plan.json", "the same, exact, for programs"),
)


def run(file: ProjectFile, as_json: AsJson = False) -> int:
    """Say how much of everything the demand takes.

    Stations, materials, belts and power follow exactly, in fractions.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.plan import solve_plan

    project = open_project(file)
    plan = solve_plan(project)
    if as_json:
        write_document("plan", project_digest(project), {}, plan)
    else:
        typer.echo(plan_text(plan))
    return 0


def plan_text(plan: Plan) -> str:
    """The tables of `plan` for people."""
    from loopwright.cli.output import table_text
    from loopwright.exact import format_fraction, format_rate

    processes = [
        (
            entry.process,
            entry.station,
            format_rate(entry.cycles),
            format_fraction(entry.stations),
            str(entry.whole),
            format_fraction(entry.power),
            format_fraction(entry.effort),
        )
        for entry in plan.processes
    ]
    materials = [
        (
            entry.material,
            *map(
                format_rate,
                (entry.made, entry.imported, entry.used, entry.demanded, entry.surplus),
            ),
        )
        for entry in plan.materials
    ]
    belts = [
        (need.material, need.belt, str(need.stack), format_fraction(need.belts))
        for need in plan.belts
    ]
    return "\n\n".join(
        [
            table_text(
                ("process", "station", "cycles", "stations", "whole", "power [kW]", "effort"),
                processes,
            ),
            table_text(("material", "made", "imported", "used", "demanded", "surplus"), materials),
            table_text(("material", "belt", "stack", "belts"), belts),
            f"power {format_fraction(plan.power)} kW, effort {format_fraction(plan.effort)}",
        ]
    )
