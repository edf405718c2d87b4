"""Drawings of the layout: SVG, DXF, PDF and PNG."""

from __future__ import annotations

from loopwright.drawing import (
    PAPERS,
    draw_layout,
    draw_sheets,
    layout_marks,
    marks_dxf,
    sheet_png,
    sheet_svg,
    sheets_pdf,
)
from loopwright.record import write_bytes, write_text
from loopwright.studio.options import SheetOptions
from loopwright.studio.work.task import Task


def run(task: Task) -> None:
    """Draw the layout in the format that the kind of the task names."""
    laid = task.lay()
    layout = laid.layout
    task.step(0.3, "drawing")
    name = f"{task.stem}.{task.kind}"
    path = task.path(name)
    options = SheetOptions() if task.kind == "dxf" else task.read_options(SheetOptions)
    if task.kind == "svg":
        write_text(path, sheet_svg(draw_layout(layout, theme=options.theme)))
    elif task.kind == "dxf":
        write_text(path, marks_dxf(layout_marks(layout), layout.cell_size, layout.title))
    else:
        lines = (f"{len(layout.stations)} stations, {len(layout.pickers)} pickers",)
        paper = PAPERS[options.paper]
        sheets = draw_sheets(layout, paper, theme=options.theme, title_lines=lines)
        task.step(0.6, "setting the pages")
        data = sheets_pdf(sheets) if task.kind == "pdf" else sheet_png(sheets[0])
        write_bytes(path, data)
    task.result("drawing", laid, {"file": name})
