"""`loopwright layout`: where each thing stands."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile

if TYPE_CHECKING:
    from loopwright.layout import Layout
    from loopwright.model import Project

EXAMPLES = (
    ("loopwright layout bakery.yaml", "counts what is placed and prints a map"),
    ("loopwright layout bakery.yaml --svg floor.svg", "draws it"),
    ("loopwright layout bakery.yaml --json > layout.json", "every device and cell, for programs"),
)


class Theme(StrEnum):
    """Sheet colour of a drawing."""

    LIGHT = "light"
    DARK = "dark"


def run(
    file: ProjectFile,
    svg: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write the drawing as SVG.")
    ] = None,
    theme: Annotated[Theme, typer.Option(help="Sheet of the drawing.")] = Theme.LIGHT,
    as_json: AsJson = False,
) -> int:
    """Place the block on its site."""
    from loopwright.cli.output import write_document, write_findings
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project
    from loopwright.layout import check_layout, layout_document, layout_map

    design = design_project(open_project(file))
    layout = design.layout
    if svg is not None:
        from loopwright.drawing import draw_layout, sheet_svg
        from loopwright.record import write_text

        write_text(svg, sheet_svg(draw_layout(layout, theme=theme.value)))
    if as_json:
        body = {"layout": layout_document(layout)}
        write_document("layout", project_digest(design.project), {}, body)
        return 0
    typer.echo(layout_text(layout))
    if layout.power_nodes:
        typer.echo("\n" + power_text(layout, design.project))
    findings = check_layout(layout)
    if findings:
        write_findings(findings, as_json=False, err=True)
    if svg is not None:
        typer.echo(f"Drawing written to {svg}")
    else:
        typer.echo("\n" + layout_map(layout))
    return 0


def layout_text(layout: Layout) -> str:
    """What stands on the site, counted."""
    from loopwright.cli.output import table_text

    counts = (
        ("stations", len(layout.stations)),
        ("pickers", len(layout.pickers)),
        ("belts", len(layout.belts)),
        ("belt cells", sum(len(belt.path) for belt in layout.belts)),
        ("gates", len(layout.gates)),
        ("merges", len([merge for merge in layout.merges if len(merge.inlets) > 1])),
        ("side merges", len(layout.side_merges)),
        ("diverts", len(layout.diverts)),
        ("supply docks", len(layout.sources)),
        ("product docks", len(layout.drains)),
        ("power nodes", len(layout.power_nodes)),
        ("power links", len(layout.power_links)),
    )
    return table_text(("placed", "count"), [(name, str(count)) for name, count in counts if count])


def power_text(layout: Layout, project: Project) -> str:
    """The power nodes in a sentence or two: how many, how few there could be, length of links."""
    from loopwright.exact import format_fraction
    from loopwright.layout.power.network import cable_hundredths, power_network, total_power

    (kind,) = layout.power_kinds
    found = power_network(layout, kind, project.site.margin)
    share = (
        "the fewest there can be"
        if found.cover == found.bound
        else (f"no cover has fewer than {found.bound}")
    )
    more = [
        f"{count} {words}"
        for count, words in ((found.extra, "for their supply"), (found.relays, "as relays"))
        if count
    ]
    metres = Fraction(cable_hundredths(layout), 100) * layout.cell_size
    reached = "what they can" if found.unreached else "all"
    lines = [
        f"{kind.title}: {found.cover} nodes reach {reached}, {share}"
        f"{''.join(f', {text}' for text in more)}; {float(metres):.1f} m of links, "
        f"{format_fraction(total_power(layout))} kW drawn",
    ]
    if found.relays:
        lines.append("Relays are found step by step; fewer may do.")
    return "\n".join(lines)
