"""`loopwright layout`: where each thing stands."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, LayoutFile, ProjectFile

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loopwright.layout import Design, Layout
    from loopwright.model import Project

EXAMPLES = (
    ("loopwright layout bakery.yaml", "counts what is placed and prints a map"),
    ("loopwright layout bakery.yaml --svg floor.svg", "draws it"),
    ("loopwright layout bakery.yaml --pdf floor.pdf --paper A4", "sheets at scale, for printing"),
    ("loopwright layout bakery.yaml --edit map.txt --yaml moved.yaml", "moves rows by a text map"),
    ("loopwright layout bakery.yaml --layout moved.yaml", "the same for a layout in a file"),
    ("loopwright layout bakery.yaml --json > layout.json", "every device and cell, for programs"),
)


MOST_BYTES = 50_000_000
"""Largest text map [bytes]."""


class PaperName(StrEnum):
    """Paper of a set of sheets."""

    A3 = "A3"
    A4 = "A4"


class Theme(StrEnum):
    """Sheet colour of a drawing."""

    LIGHT = "light"
    DARK = "dark"


def run(
    file: ProjectFile,
    svg: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write the drawing as SVG.")
    ] = None,
    dxf: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write the drawing as DXF, in metres.")
    ] = None,
    pdf: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write sheets at scale, for printing.")
    ] = None,
    png: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write the first sheet as a picture.")
    ] = None,
    paper: Annotated[PaperName, typer.Option(help="Paper of PDF and PNG.")] = PaperName.A3,
    theme: Annotated[Theme, typer.Option(help="Sheet of the drawing.")] = Theme.LIGHT,
    yaml: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Write the whole layout as YAML.")
    ] = None,
    source: LayoutFile = None,
    edit: Annotated[
        Path | None,
        typer.Option(metavar="PATH", help="Move what was moved in this text map of the layout."),
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Place the block, or all sections, on the site."""
    from loopwright.block import check_block, check_sharing
    from loopwright.cli.output import write_document, write_findings
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project
    from loopwright.layout import check_layout, layout_document, layout_map
    from loopwright.layout.drained import check_drained

    design = design_project(open_project(file), source)
    layout = design.layout if edit is None else _edited(design, edit)
    source_digest = project_digest(design.project)
    written = _write_drawings(
        layout, {"svg": svg, "dxf": dxf, "pdf": pdf, "png": png}, paper, theme
    )
    if yaml is not None:
        from loopwright.layout.write import layout_yaml
        from loopwright.record import Origin, write_text

        write_text(yaml, layout_yaml(layout, Origin(source_digest)))
        written.append(f"Layout written to {yaml}")
    if as_json:
        write_document("layout", source_digest, {}, {"layout": layout_document(layout)})
        return 0
    typer.echo(layout_text(layout))
    typer.echo("\n" + belts_text(layout))
    if primed := priming_text(layout):
        typer.echo("\n" + primed)
    if layout.power_nodes:
        typer.echo("\n" + power_text(layout, design.project))
    findings = (
        *(found for block in design.sections for found in check_block(block, design.project)),
        *check_sharing(design.plan, design.project, design.sections),
        *check_drained(design.sections, design.project),
        *check_layout(layout),
    )
    if findings:
        write_findings(findings, as_json=False, err=True)
    typer.echo("\n".join(written) if written else "\n" + layout_map(layout))
    return 0


def _write_drawings(
    layout: Layout, paths: Mapping[str, Path | None], paper: PaperName, theme: Theme
) -> list[str]:
    """Write what is asked for; a line about each."""
    from loopwright.record import write_bytes, write_text

    told = []
    if (svg := paths["svg"]) is not None:
        from loopwright.drawing import draw_layout, sheet_svg

        write_text(svg, sheet_svg(draw_layout(layout, theme=theme.value)))
        told.append(f"Drawing written to {svg}")
    if (dxf := paths["dxf"]) is not None:
        from loopwright.drawing import layout_marks, marks_dxf

        write_text(dxf, marks_dxf(layout_marks(layout), layout.cell_size, layout.title))
        told.append(f"Drawing written to {dxf}")
    if paths["pdf"] is not None or paths["png"] is not None:
        from loopwright.drawing import PAPERS, draw_sheets, sheet_png, sheets_pdf

        lines = (f"{len(layout.stations)} stations, {len(layout.pickers)} pickers",)
        sheets = draw_sheets(layout, PAPERS[paper.value], theme=theme.value, title_lines=lines)
        if (pdf := paths["pdf"]) is not None:
            write_bytes(pdf, sheets_pdf(sheets))
            told.append(f"{len(sheets)} sheets {paper.value} written to {pdf}")
        if (png := paths["png"]) is not None:
            write_bytes(png, sheet_png(sheets[0]))
            told.append(f"Picture written to {png}")
    return told


def _edited(design: Design, path: Path) -> Layout:
    """The layout with what the map in the file `path` moves; power is placed anew where only other
    things moved.

    Raises
    ------
    BadInputError
        The map cannot be read, or something in it is not understood.
    DesignError
        What was moved does not stand free, joined and in reach.
    """
    from dataclasses import replace

    from loopwright.cli.ending import BadInputError
    from loopwright.cli.output import write_findings
    from loopwright.cli.project import file_digest
    from loopwright.finding import DesignError, Severity
    from loopwright.layout import check_layout
    from loopwright.layout.edit import edited_layout
    from loopwright.layout.power.place import with_power
    from loopwright.model.load import load_text

    text, findings = load_text(path, str(path), MOST_BYTES)
    if text is None:
        raise BadInputError(findings, file_digest(path))
    before = design.layout
    layout, findings = edited_layout(before, text, str(path))
    if any(finding.severity is Severity.ERROR for finding in findings):
        raise BadInputError(findings, file_digest(path))
    if findings:
        write_findings(findings, as_json=False, err=True)
    if layout != before and layout.power_nodes == before.power_nodes:
        layout = with_power(replace(layout, power_nodes=(), power_links=()), design.project)
    faults = tuple(f for f in check_layout(layout) if f.severity is Severity.ERROR)
    if faults:
        raise DesignError(faults)
    return layout


def priming_text(layout: Layout) -> str:
    """What the mixers that feed back fill before anything leaves; empty where there is none."""
    from collections import Counter

    from loopwright.prove.mixed import primings

    counts = Counter(cells for _, cells in primings(layout))
    return "\n".join(
        f"{count} mixer{'s' if count > 1 else ''} feed{'' if count > 1 else 's'} back: {cells} "
        f"carriers{' each' if count > 1 else ''} prime that lane before any leaves"
        for cells, count in sorted(counts.items())
    )


def layout_text(layout: Layout) -> str:
    """What stands on the site, counted."""
    from loopwright.cli.output import table_text

    counts = (
        ("stations", len(layout.stations)),
        ("pickers", len(layout.pickers)),
        ("applicators", len(layout.applicators)),
        ("belts", len(layout.belts)),
        ("belt cells", sum(len(belt.path) for belt in layout.belts)),
        ("gates", len(layout.gates)),
        ("merges", len([merge for merge in layout.merges if len(merge.inlets) > 1])),
        ("side merges", len(layout.side_merges)),
        ("diverts", len(layout.diverts)),
        ("supply docks", len(layout.sources)),
        ("product docks", sum(1 for drain in layout.drains if drain.purpose == "product")),
        ("drain docks", sum(1 for drain in layout.drains if drain.purpose != "product")),
        ("power nodes", len(layout.power_nodes)),
        ("power links", len(layout.power_links)),
    )
    return table_text(("placed", "count"), [(name, str(count)) for name, count in counts if count])


def belts_text(layout: Layout) -> str:
    """Belt cells, bridges and crossings in a sentence, and the fewest cells there could be."""
    from loopwright.layout.route.bound import count_belts

    count = count_belts(layout)
    told = [f"{count.cells} cells"]
    told += [
        f"{number} {word}" if number == 1 else f"{number} {word}s"
        for number, word in ((count.bridges, "bridge"), (count.crossings, "crossing"))
        if number
    ]
    return (
        f"Belts: {', '.join(told)}; between the same docks, gates and pickers no way of laying "
        f"them has fewer than {count.bound} cells."
    )


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
