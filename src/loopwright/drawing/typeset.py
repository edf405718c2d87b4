"""Sheets as PDF and PNG, through typst: each sheet is an SVG that fills its page.

Only the fonts that come with typst are used, so the bytes are the same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg
from loopwright.finding import DesignError, Finding, new_finding

if TYPE_CHECKING:
    from types import ModuleType

FONT = '"DejaVu Sans Mono"'
HAIR = 0.18
"""Width of a hair line of one pixel on paper [mm]."""


def sheets_pdf(sheets: Sequence[Sheet]) -> bytes:
    """All sheets as one PDF document.

    Raises
    ------
    DesignError
        The program that sets pages is not installed.
    """
    return _set(sheets, "pdf", 0)


def sheet_png(sheet: Sheet, dots: int = 200) -> bytes:
    """One sheet as a PNG picture of `dots` to the inch; errors as `sheets_pdf`."""
    return _set((sheet,), "png", dots)


def _set(sheets: Sequence[Sheet], form: str, dots: int) -> bytes:
    typst = _typst()
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
    more = {"ppi": dots} if dots else {}
    data, warnings = typst.compile_with_warnings(
        source.encode(), font_paths=fonts, format=form, sys_inputs=inputs, **more
    )
    if warnings:
        raise AssertionError("; ".join(str(warning) for warning in warnings))
    assert isinstance(data, bytes)
    return data


def _printed(sheet: Sheet, prefix: str) -> str:
    mm = sheet.size[0] / sheet.width
    return sheet_svg(sheet, prefix=prefix, font=FONT, hair=HAIR / mm)


def _typst() -> ModuleType:
    try:
        import typst
    except ImportError:
        raise DesignError((_missing(),)) from None
    return typst


def _missing() -> Finding:
    return new_finding("LW430", "PDF and PNG need the package typst", value="typst")
