"""Integer geometry of the site: cells, headings, boxes, paths."""

from loopwright.grid.box import Box
from loopwright.grid.cell import Cell
from loopwright.grid.heading import Heading
from loopwright.grid.path import headings, is_connected, run_of

__all__ = ["Box", "Cell", "Heading", "headings", "is_connected", "run_of"]
