"""How many rows, lanes and loops, in which architecture: quantities, not yet places."""

from loopwright.block.block import Block, Counts, Lane, Row, RowDesign
from loopwright.block.check import check_block
from loopwright.block.rows import Bounds, closed_designs, equal_designs, open_designs
from loopwright.block.sharing import check_sharing
from loopwright.block.size import list_blocks, size_block

__all__ = [
    "Block",
    "Bounds",
    "Counts",
    "Lane",
    "Row",
    "RowDesign",
    "check_block",
    "check_sharing",
    "closed_designs",
    "equal_designs",
    "list_blocks",
    "open_designs",
    "size_block",
]
