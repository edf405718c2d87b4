"""How does it look? Layout -> marks -> sheet -> SVG, DXF, PDF, PNG; and charts from plain data."""

from loopwright.drawing.charts import RowShares, plan_chart, rate_chart, share_bars
from loopwright.drawing.dxf import marks_dxf
from loopwright.drawing.marking import plan_materials
from loopwright.drawing.palette import page_css
from loopwright.drawing.paper import PAPERS
from loopwright.drawing.sheet import Sheet, draw_layout, layout_marks
from loopwright.drawing.sheets import draw_sheets
from loopwright.drawing.svg import sheet_svg
from loopwright.drawing.typeset import sheet_png, sheets_pdf

__all__ = [
    "PAPERS",
    "RowShares",
    "Sheet",
    "draw_layout",
    "draw_sheets",
    "layout_marks",
    "marks_dxf",
    "page_css",
    "plan_chart",
    "plan_materials",
    "rate_chart",
    "share_bars",
    "sheet_png",
    "sheet_svg",
    "sheets_pdf",
]
