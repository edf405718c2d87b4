"""Materials: what travels."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from loopwright.model.field import Letter, Section, Title, quantity, whole

Supply = Literal["auto", "made", "imported", "either"]
Price = Annotated[Fraction, quantity(least=0, most=1000000)]


class Material(Section):
    """One material; on belts it travels in carriers of up to `stack` units."""

    title: Title = Field(default="", description="Name for people; the key where it is left out.")
    letter: Letter = Field(
        default="",
        description="Mark on drawings, different for each material; chosen from the key where it "
        "is left out.",
    )
    stack: Annotated[int, whole(1, 8, "units")] = Field(
        default=1, description="Most units on one carrier."
    )
    supply: Supply = Field(
        default="auto",
        description="Where it comes from: made on site (or drawn from a deposit), imported through "
        "docks, either: whichever costs less, or auto: made if a process or a deposit gives it, "
        "else imported.",
    )
    price: Price = Field(
        default=Fraction(1),
        description="What importing one unit a second costs, in the measure of effort.",
    )
    surplus: Literal["drain", "forbid"] = Field(
        default="drain",
        description="What becomes of more than is used: drain takes it out, forbid allows none.",
    )
    drain_price: Price = Field(
        default=Fraction(0),
        description="What draining one unit a second costs, in the measure of effort.",
    )
