"""How does it look? Layout -> marks -> sheet -> SVG, and charts from plain data."""

from loopwright.drawing.charts import RowShares, plan_chart, rate_chart, share_bars
from loopwright.drawing.marking import plan_materials
from loopwright.drawing.palette import page_css
from loopwright.drawing.sheet import Sheet, draw_layout, layout_marks
from loopwright.drawing.svg import sheet_svg

__all__ = [
    "RowShares",
    "Sheet",
    "draw_layout",
    "layout_marks",
    "page_css",
    "plan_chart",
    "plan_materials",
    "rate_chart",
    "share_bars",
    "sheet_svg",
]
