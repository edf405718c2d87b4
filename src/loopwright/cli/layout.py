"""`loopwright layout`: where each thing stands."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile

if TYPE_CHECKING:
    from loopwright.layout import Layout

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
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project
    from loopwright.layout import layout_document, layout_map

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
    )
    return table_text(("placed", "count"), [(name, str(count)) for name, count in counts if count])
