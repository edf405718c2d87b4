"""The site: the grid that everything stands on."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from loopwright.grid import Cell
from loopwright.model.field import Name, Section, Written, quantity, whole
from loopwright.model.material import Price

Extent = Annotated[int, whole(10, 4000, "cells")]
Offset = Annotated[int, whole(0, 3999, "cells")]
Length = Annotated[int, whole(1, 4000, "cells")]


AT = re.compile(r"([0-9]{1,4},[0-9]{1,4})?")
"""A cell as text; nothing where none is named."""

At = Annotated[str, Written("LW119", "a cell as x,y, such as 12,30", AT.pattern)]


def cell_of(at: str) -> Cell | None:
    """The cell that `at` names; None where it names none."""
    x, _, y = at.partition(",")
    return Cell(int(x), int(y)) if at else None


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
    side: Literal["auto", "north", "east", "south", "west"] = Field(
        default="auto",
        description="Side of the site on which it stands; auto: beside what it supplies.",
    )
    at: At = Field(
        default="", description="Cell on which it stands, as x,y; where it suits if left out."
    )

    @property
    def placed(self) -> bool:
        """Whether it is said where it stands."""
        return bool(self.at) or self.side != "auto"


class Deposit(Section):
    """A raw material that the site itself gives, and how fast at most. There may be several."""

    material: Name = Field(description="What it gives: a key of materials.")
    rate: Annotated[Fraction, quantity("units/s", above=0, most=1000000)] = Field(
        description="Most that can be drawn."
    )
    at: At = Field(
        default="", description="Cell from which it is drawn, as x,y; where it suits if left out."
    )

    @property
    def placed(self) -> bool:
        """Whether it is said where it lies."""
        return bool(self.at)

    price: Price = Field(
        default=Fraction(0),
        description="What drawing one unit a second costs, in the measure of effort.",
    )


class Outgoing(Section):
    """Where a product, or what is spare, leaves. A material may have several such docks."""

    material: Name = Field(description="What leaves: a key of materials.")
    side: Literal["auto", "north", "east", "south", "west"] = Field(
        default="auto",
        description="Side of the site on which it stands; auto: the nearest to what it takes.",
    )
    at: At = Field(
        default="", description="Cell on which it stands, as x,y; where it suits if left out."
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
    outgoing: tuple[Outgoing, ...] = Field(
        default=(),
        description="Docks at given places where materials leave; those of other materials stand "
        "beside the stations.",
    )
    deposits: tuple[Deposit, ...] = Field(
        default=(), description="Raw materials that the site gives; none where there is none."
    )
