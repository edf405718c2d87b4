"""Exact numbers: quantities at the text boundary, ticks, rational equations."""

from loopwright.exact.linear import SingularError, solve
from loopwright.exact.quantity import (
    QuantityError,
    format_fraction,
    format_quantity,
    format_rate,
    parse_quantity,
)
from loopwright.exact.tick import common_tick
from loopwright.exact.unit import UNITS, Unit

__all__ = [
    "UNITS",
    "QuantityError",
    "SingularError",
    "Unit",
    "common_tick",
    "format_fraction",
    "format_quantity",
    "format_rate",
    "parse_quantity",
    "solve",
]
