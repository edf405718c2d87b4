"""The site: the grid that everything stands on."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from pydantic import Field

from loopwright.model.field import Name, Section, quantity, whole
from loopwright.model.material import Price

Extent = Annotated[int, whole(10, 4000, "cells")]
Offset = Annotated[int, whole(0, 3999, "cells")]
Length = Annotated[int, whole(1, 4000, "cells")]


class Obstacle(Section):
    """A rectangle of cells where nothing may stand."""

    x: Offset = Field(description="Westmost column; the site's first is 0.")
    y: Offset = Field(description="Northmost row; the site's first is 0.")
    width: Length = Field(description="Cells from west to east.")
    height: Length = Field(description="Cells from north to south.")


class Dock(Section):
    """Where a material arrives, and how fast at most. A material may have several docks."""

    material: Name = Field(description="What arrives: a key of materials.")
    rate: Annotated[Fraction, quantity("units/s", above=0, most=1000000)] = Field(
        description="Most that this dock supplies."
    )


class Deposit(Section):
    """A raw material that the site itself gives, and how fast at most. There may be several."""

    material: Name = Field(description="What it gives: a key of materials.")
    rate: Annotated[Fraction, quantity("units/s", above=0, most=1000000)] = Field(
        description="Most that can be drawn."
    )
    price: Price = Field(
        default=Fraction(0),
        description="What drawing one unit a second costs, in the measure of effort.",
    )


class Site(Section):
    """Size of the site, what is in the way, docks and deposits."""

    width: Extent = Field(default=400, description="Cells from west to east.")
    height: Extent = Field(default=400, description="Cells from north to south.")
    cell: Annotated[Fraction, quantity("m", above=0, most=1000)] = Field(
        default=Fraction(1), description="Side of one cell."
    )
    margin: Annotated[int, whole(0, 100, "cells")] = Field(
        default=2, description="Cells kept free along the edge."
    )
    obstacles: tuple[Obstacle, ...] = Field(
        default=(), description="Rectangles where nothing may stand."
    )
    docks: tuple[Dock, ...] = Field(
        default=(), description="Supply limits; a material without a dock has no limit."
    )
    deposits: tuple[Deposit, ...] = Field(
        default=(), description="Raw materials that the site gives; none where there is none."
    )
