"""Sheets as PDF and PNG, through typst: each sheet is an SVG that fills its page.

Only the fonts that come with typst are used, so the bytes are the same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg

FONT = '"DejaVu Sans Mono"'
HAIR = 0.18
"""Width of a hair line of one pixel on paper [mm]."""


def sheets_pdf(sheets: Sequence[Sheet]) -> bytes:
    """All sheets as one PDF document."""
    return _set(sheets, "pdf", None)


def sheet_png(sheet: Sheet, dots: int = 200) -> bytes:
    """One sheet as a PNG picture of `dots` to the inch."""
    return _set((sheet,), "png", dots)


def _set(sheets: Sequence[Sheet], form: Literal["pdf", "png"], dots: int | None) -> bytes:
    import typst

    pages = []
    inputs = {}
    for number, sheet in enumerate(sheets):
        width, height = sheet.size
        inputs[f"sheet{number}"] = _printed(sheet, f"s{number}")
        page = f"#set page(width: {width}mm, height: {height}mm, margin: 0mm)\n"
        source = f'bytes(sys.inputs.sheet{number}), format: "svg"'
        pages.append(f"{page}#image({source}, width: 100%, height: 100%)\n")
    source = "#set document(date: none)\n" + "".join(pages)
    fonts = typst.Fonts(include_system_fonts=False)
    data, warnings = typst.compile_with_warnings(
        source.encode(), font_paths=fonts, format=form, ppi=dots, sys_inputs=inputs
    )
    if warnings:
        raise AssertionError("; ".join(str(warning) for warning in warnings))
    return data


def _printed(sheet: Sheet, prefix: str) -> str:
    mm = sheet.size[0] / sheet.width
    return sheet_svg(sheet, prefix=prefix, font=FONT, hair=HAIR / mm)
