"""`loopwright block`: rows, lanes and loops, and every other way to split the stations."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loopwright.block import Block, Row

EXAMPLES = (
    ("loopwright block bakery.yaml", "the block that the choices lead to"),
    ("loopwright block bakery.yaml --all", "every architecture beside it"),
    ("loopwright block bakery.yaml --json > block.json", "the same, exact, for programs"),
)

MOST_DESIGNS = 12
"""Row designs shown to people; the document holds all."""


def run(
    file: ProjectFile,
    every: Annotated[
        bool, typer.Option("--all", help="Show every architecture, not only the chosen one.")
    ] = False,
    as_json: AsJson = False,
) -> int:
    """Split the stations into rows, and count lanes, belts and pickers."""
    from loopwright.block import list_blocks, size_block
    from loopwright.cli.output import plain_document, write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.layout import place_project
    from loopwright.plan import solve_plan

    project = open_project(file)
    plan = solve_plan(project)
    if project.choices.scope == "site":
        placed = place_project(plan, project)  # how long rows are depends on where they stand
        chosen, sections = placed.block, placed.sections
    else:
        chosen = size_block(plan, project)
        sections = (chosen,)
    others = list_blocks(plan, project) if every and len(sections) == 1 else ()
    if as_json:
        body = plain_document(chosen)
        if len(sections) > 1:
            body["sections"] = [plain_document(block) for block in sections]
        if every:
            body["alternatives"] = [plain_document(block) for block in others]
        write_document("block", project_digest(project), {"all": every}, body)
        return 0
    typer.echo(block_text(chosen))
    if len(sections) > 1:
        typer.echo("\n" + sections_text(sections))
    if others:
        typer.echo("\n" + comparison_text(others))
    return 0


def sections_text(sections: Sequence[Block]) -> str:
    """A line about each section of a site, from raw materials to the product."""
    from loopwright.cli.output import table_text
    from loopwright.exact import format_fraction

    rows = [
        (
            block.process,
            block.architecture,
            format_fraction(block.stations),
            str(block.counts.stations),
            str(block.design.rows),
        )
        for block in sections
    ]
    return table_text(("section", "architecture", "needed", "stations", "rows"), rows)


def block_text(block: Block) -> str:
    """What `block` is made of, for people."""
    from loopwright.cli.output import table_text
    from loopwright.exact import format_fraction

    counts = block.counts
    devices = [
        ("stations", str(counts.stations)),
        ("lanes", str(counts.lanes)),
        *((f"belts of {name}", format_fraction(belts)) for name, belts in counts.supplies),
        ("output belts", str(counts.outputs)),
        ("pickers", str(counts.pickers)),
        ("power [kW]", format_fraction(counts.power)),
        ("effort", format_fraction(counts.effort)),
    ]
    return "\n\n".join(
        [
            f"{block.process} makes {block.product}: {block.architecture}, {block.sides}-sided\n"
            f"{format_fraction(block.stations)} stations asked; a full lane serves "
            f"{format_fraction(block.capacity)}, an output belt "
            f"{format_fraction(block.output_capacity)}\n{block.reason}",
            rows_text(block),
            table_text(("device", "count"), devices),
            designs_text(block),
        ]
    )


def rows_text(block: Block) -> str:
    """The rows of `block`; equal ones that follow each other share a line."""
    from itertools import groupby

    from loopwright.cli.output import table_text

    def alike(row: Row) -> tuple[str, str, str]:
        fed = " | ".join(", ".join(lane.materials) for lane in row.lanes)
        return row.role, str(row.stations), fed

    lines = []
    for (role, stations, fed), group in groupby(block.rows, key=alike):
        rows = list(group)
        names = rows[0].name if len(rows) == 1 else f"{rows[0].name} to {rows[-1].name}"
        lines.append((names, str(len(rows)), role, stations, fed))
    return table_text(("rows", "count", "role", "stations each", "lanes"), lines)


def designs_text(block: Block) -> str:
    """The row designs of `block`, best first; the chosen one is marked."""
    from loopwright.cli.output import table_text
    from loopwright.exact import format_fraction

    rows = [
        (
            "chosen" if design == block.design else "",
            str(design.rows),
            f"{design.lanes} x {design.row}",
            f"{design.make_up} x {design.make_up_row}" if design.make_up else "-",
            str(design.stations),
            format_fraction(design.fill),
            "yes" if design.closed else "no",
        )
        for design in block.designs[:MOST_DESIGNS]
    ]
    heads = ("", "rows", "fed by a lane", "make-up", "stations", "fill", "closed")
    left = len(block.designs) - len(rows)
    return table_text(heads, rows) + (f"\nand {left} more with --json" if left > 0 else "")


def comparison_text(blocks: Sequence[Block]) -> str:
    """One line for each of `blocks`."""
    from loopwright.cli.output import table_text
    from loopwright.exact import format_fraction

    rows = [
        (
            block.architecture,
            block.sides,
            str(block.design.rows),
            str(block.counts.stations),
            str(block.counts.lanes),
            str(block.counts.outputs),
            str(block.counts.pickers),
            format_fraction(block.counts.power),
            format_fraction(block.counts.effort),
        )
        for block in blocks
    ]
    named = ("architecture", "sides")
    counted = ("rows", "stations", "lanes", "outputs", "pickers", "power [kW]", "effort")
    return table_text((*named, *counted), rows)
