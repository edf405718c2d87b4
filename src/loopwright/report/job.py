"""First part: what is made, at what rate, and whether it came out."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from loopwright.block import Block
from loopwright.layout.layout import Layout
from loopwright.layout.power.network import total_power
from loopwright.model import Project
from loopwright.plan import Plan
from loopwright.report.html import Html, element, join, paragraph
from loopwright.report.number import amount, counted, several
from loopwright.report.section import Section
from loopwright.report.verdict import Outcome, badge, target_of
from loopwright.simulate.reading.text import listed


def job_section(
    project: Project, plan: Plan, block: Block, layout: Layout, outcomes: Sequence[Outcome]
) -> Section:
    """What the block is for, the verdict of each run, and the figures that matter most."""
    body = join(
        paragraph(_task(project, plan, block), class_="lead"),
        _verdicts(outcomes),
        _figures(project, plan, block, layout),
    )
    return Section(
        "job", "Job", "What is to be made, and whether the simulated block made it.", body
    )


def _task(project: Project, plan: Plan, block: Block) -> str:
    inputs = [project.materials[name].title for name in project.processes[block.process].inputs]
    product = project.materials[block.product].title
    imported = [
        project.materials[entry.material].title for entry in plan.materials if entry.imported
    ]
    text = (
        f"{several(block.counts.stations, 'station')} make {amount(target_of(plan, block))} "
        f"units/s of {product} out of {listed(inputs)}"
    )
    if not imported:
        return f"{text}."
    if len(imported) == 1:
        return f"{text}. {imported[0]} comes from outside."
    outside = "All of these" if imported == inputs else listed(imported)
    return f"{text}. {outside} come from outside."


def _verdicts(outcomes: Sequence[Outcome]) -> Html:
    if not outcomes:
        return element(
            "div",
            element("strong", "not simulated", class_="badge short"),
            paragraph("No scenario was run, so nothing is said about the rate."),
            class_="verdict short",
        )
    return join(
        element(
            "div",
            badge(outcome.state),
            paragraph(
                element("a", outcome.run.scenario.name, href=f"#run-{number}"),
                ": ",
                outcome.sentence,
            ),
            class_=f"verdict {outcome.state}",
        )
        for number, outcome in enumerate(outcomes, start=1)
    )


def _figures(project: Project, plan: Plan, block: Block, layout: Layout) -> Html:
    counts = block.counts
    floor = _floor(layout)
    figures = [
        ("Rate asked", amount(target_of(plan, block)), "units/s"),
        ("Stations", counted(counts.stations), f"{amount(block.stations)} needed"),
        ("Rows", counted(block.design.rows), block.architecture),
        ("Lanes", counted(counts.lanes), several(counts.outputs, "output belt")),
        ("Pickers", counted(counts.pickers), "in and out"),
        ("Power", amount(counts.power), "kW, stations and pickers"),
        ("Effort", amount(counts.effort), "stations and pickers"),
        ("Floor", amount(floor), "m², box round all devices"),
    ]
    if len(layout.recipes) > 1:
        stations, sections = len(layout.stations), len(layout.recipes)
        figures[1:1] = [
            ("Site", counted(stations), f"stations in {several(sections, 'section')}"),
            ("Site draws", amount(total_power(layout)), "kW, all devices"),
        ]
        title = project.processes[block.process].title
        figures = [
            (name, value, f"{unit}: {title}" if name == "Stations" else unit)
            for name, value, unit in figures
        ]
    return element(
        "dl",
        (
            element(
                "div",
                element("dt", name),
                element("dd", element("b", value), " ", element("span", unit)),
            )
            for name, value, unit in figures
        ),
        class_="figures",
    )


def _floor(layout: Layout) -> Fraction:
    """The rectangle round everything that is placed [m2]."""
    places = [(cell.x, cell.y) for belt in layout.belts for cell in belt.path]
    boxes = [one.box for one in layout.stations] + [one.box for one in layout.stores]
    for box in boxes + [one.box for one in layout.gates]:
        places += [(box.x, box.y), (box.x + box.width - 1, box.y + box.height - 1)]
    docks = [one.at for one in layout.sources] + [one.at for one in layout.drains]
    places += [(at.x, at.y) for at in docks]
    if not places:
        return Fraction(0)
    across = max(x for x, _ in places) - min(x for x, _ in places) + 1
    down = max(y for _, y in places) - min(y for _, y in places) + 1
    return across * down * layout.cell_size**2
