"""Where does each thing stand? Block -> Layout."""

from loopwright.layout.check import check_layout
from loopwright.layout.design import (
    Design,
    Placed,
    design_findings,
    design_project,
    place_project,
    size_project,
)
from loopwright.layout.document import layout_document, layout_from_document
from loopwright.layout.layout import Layout
from loopwright.layout.map import layout_map
from loopwright.layout.place import place_layout

__all__ = [
    "Design",
    "Layout",
    "Placed",
    "check_layout",
    "design_findings",
    "design_project",
    "layout_document",
    "layout_from_document",
    "layout_map",
    "place_layout",
    "place_project",
    "size_project",
]
