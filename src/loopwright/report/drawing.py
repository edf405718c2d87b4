"""Fourth part: where each thing stands."""

from __future__ import annotations

from loopwright.block import Block
from loopwright.drawing import draw_layout, sheet_svg
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.report.html import Html, element, join, paragraph
from loopwright.report.number import TIMES, amount, several
from loopwright.report.section import Section

_BUTTONS = (
    ("in", "+", "Zoom in"),
    ("out", "\u2212", "Zoom out"),
    ("whole", "Whole", "Show the whole drawing"),
)


def drawing_section(project: Project, block: Block, layout: Layout) -> Section:
    """The drawing, to be zoomed and moved in the page."""
    lines = (
        f"{project.materials[block.product].title}, {block.architecture}, "
        f"{several(len(layout.stations), 'station')}",
    )
    sheet = draw_layout(layout, theme="page", title_lines=lines)
    view = element(
        "div",
        Html(sheet_svg(sheet, prefix="plan")),
        class_="view",
        tabindex="0",
        role="group",
        aria_label="Drawing of the layout. Plus and minus zoom, arrow keys move, 0 shows all.",
    )
    size = f"{layout.width} {TIMES} {layout.height} cells of {amount(layout.cell_size)} m"
    body = join(
        element("div", element("div", _buttons(), class_="tools"), view, class_="drawing"),
        paragraph(
            f"Site {size}. Click into the drawing, then the wheel zooms and dragging moves it. "
            "Keys: ",
            *_keys(),
            ". Rest the pointer on a device to read its name.",
            class_="hint",
        ),
    )
    return Section("drawing", "Drawing", "Where each thing stands.", body)


def _buttons() -> list[Html]:
    return [
        element("button", face, type="button", data_zoom=action, title=name, aria_label=name)
        for action, face, name in _BUTTONS
    ]


def _keys() -> list[Html]:
    keys = [("+", " "), ("\u2212", " zoom, "), ("0", " whole, "), ("arrows", " move")]
    return [join(element("kbd", key), word) for key, word in keys]
