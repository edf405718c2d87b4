"""Demand: what must come out."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from loopwright.model.field import quantity

Rate = Annotated[Fraction, quantity("units/s", above=0, most=1000000)]
"""Demanded rate of a product [units/s]."""
