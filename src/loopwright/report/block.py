"""Third part: how the stations split into rows, and why so."""

from __future__ import annotations

from fractions import Fraction

from loopwright.block import Block
from loopwright.block.block import Row, RowDesign
from loopwright.model import Project
from loopwright.plan import Plan
from loopwright.report.html import Html, element, folded, join, paragraph, table
from loopwright.report.number import NONE, TIMES, amount, counted, percent, several
from loopwright.report.section import Section
from loopwright.simulate.reading.text import listed

ARCHITECTURES = {
    "plain": "one belt and one picker for each material",
    "loop": "mixed lanes, each returning to its own gate",
    "pass": "mixed lanes that pass once; make-up rows use what they leave over",
}

SIDES = {
    "double": "two rows back to back round one output belt",
    "single": "one row to an output belt",
}

SHOWN = 8
"""Designs that are shown at once; the rest opens on demand."""


def block_section(project: Project, plan: Plan, block: Block) -> Section:
    """Architecture, chosen row design and its reason, rows, all designs, counts."""
    body = join(
        _choice(block),
        element("blockquote", element("b", "Why this design: "), block.reason),
        _facts(project, block),
        _rows(project, block),
        _designs(block),
        _counts(project, plan, block),
    )
    return Section("block", "Block", "How the stations split into rows, and why so.", body)


def _choice(block: Block) -> Html:
    design = block.design
    rows = f"{several(design.lanes, 'row')} of {several(design.row, 'station')}"
    if design.make_up:
        rows += f" and {several(design.make_up, 'make-up row')} of {design.make_up_row}"
    return paragraph(
        element("b", block.architecture.capitalize()),
        f": {ARCHITECTURES[block.architecture]}; {SIDES[block.sides]}. {rows}, "
        f"{several(design.stations, 'station')} in all.",
        class_="lead",
    )


def _facts(project: Project, block: Block) -> Html:
    equipment = project.equipment
    facts = [
        ("Stations needed", amount(block.stations)),
        ("One lane serves", f"{amount(block.capacity)} stations"),
        ("A row uses of its lane", percent(block.design.fill)),
        ("One output belt serves", f"{amount(block.output_capacity)} stations"),
        ("Lanes, supplies", equipment.belts[block.belt].title),
        ("Output belts", equipment.belts[block.output_belt].title),
        ("Inlet picker", equipment.pickers[block.picker].title),
        ("Outlet picker", equipment.pickers[block.output_picker].title),
    ]
    if block.architecture != "plain":
        facts.append(("Gate", block.gate if block.architecture == "loop" else "ratio-locked"))
    pairs = [element("div", element("dt", name), element("dd", value)) for name, value in facts]
    return element("dl", pairs, class_="facts")


def _rows(project: Project, block: Block) -> Html:
    """Rows, those alike together."""
    groups: list[list[Row]] = []
    for row in block.rows:
        last = groups[-1][-1] if groups else None
        if last is not None and (last.role, last.stations, last.lanes) == (
            row.role,
            row.stations,
            row.lanes,
        ):
            groups[-1].append(row)
        else:
            groups.append([row])
    rows = []
    for group in groups:
        first = group[0]
        names = first.name if len(group) == 1 else f"{first.name} to {group[-1].name}"
        lanes = [
            listed(
                [
                    f"{project.materials[name].title} {amount(carriers)}"
                    for name, carriers in zip(lane.materials, lane.carriers, strict=True)
                ]
            )
            for lane in first.lanes
        ]
        serves = ", ".join(dict.fromkeys(amount(lane.capacity) for lane in first.lanes))
        rows.append(
            (names, first.role, counted(len(group)), str(first.stations), "; ".join(lanes), serves)
        )
    heads = ("Rows", "Role", "Count", "Stations each", "Carriers a cycle, by lane", "Lane serves")
    return table("Rows", heads, rows, numbers=(2, 3, 5))


def _designs(block: Block) -> Html:
    """All designs in their order; the chosen one is marked."""
    designs = list(block.designs)
    if block.design not in designs:
        designs.insert(0, block.design)
    heads = ("Rank", "Rows", "Fed by a lane", "Make-up", "Stations", "Lane used", "Leaves over")
    numbers = range(1, 6)

    def part(first: int, chosen: list[RowDesign], caption: str) -> Html:
        rows = [_design_row(rank, one, block) for rank, one in enumerate(chosen, start=first)]
        marked = [index for index, one in enumerate(chosen) if one == block.design]
        return table(caption, heads, rows, numbers=numbers, marked=marked)

    top = max(SHOWN, designs.index(block.design) + 1)
    caption = f"Row designs, best first: {several(len(designs), 'design')} looked at"
    shown = part(1, designs[:top], caption)
    rest = designs[top:]
    if not rest:
        return shown
    more = part(top + 1, rest, "The other row designs")
    return join(shown, folded(f"{several(len(rest), 'design')} more", more))


def _design_row(rank: int, design: RowDesign, block: Block) -> tuple[str, ...]:
    make_up = f"{design.make_up} {TIMES} {design.make_up_row}" if design.make_up else NONE
    return (
        f"{rank} chosen" if design == block.design else str(rank),
        str(design.rows),
        f"{design.lanes} {TIMES} {design.row}",
        make_up,
        str(design.stations),
        percent(design.fill),
        "nothing: closed" if design.closed else f"{amount(_left(design, block))} stations' worth",
    )


def _left(design: RowDesign, block: Block) -> Fraction:
    """What the lanes of `design` carry beyond the use of all its rows [stations]."""
    return design.lanes * (block.capacity - design.row) - design.make_up * design.make_up_row


def _counts(project: Project, plan: Plan, block: Block) -> Html:
    counts = block.counts
    rows = [
        ("Stations", counted(counts.stations), f"{amount(block.stations)} needed"),
        ("Lanes", counted(counts.lanes), "belts past rows"),
        ("Output belts", counted(counts.outputs), SIDES[block.sides]),
        ("Pickers", counted(counts.pickers), "at inlets and outlets"),
        ("Power", f"{amount(counts.power)} kW", "stations and pickers"),
        ("Effort", amount(counts.effort), "stations and pickers"),
    ]
    for material, belts in counts.supplies:
        entry = project.materials[material]
        flow = amount(plan.material(material).flow)
        rows.append((f"Supply of {entry.title}", amount(belts), f"belts' worth of {flow} units/s"))
    return table("Counts", ("What", "How much", ""), rows, numbers=(1,))
