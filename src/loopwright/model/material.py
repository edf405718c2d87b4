"""Materials: what travels."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from loopwright.model.field import Letter, Section, Title, whole

Supply = Literal["auto", "made", "imported"]


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
        description="Where it comes from: made on site, imported through docks, or auto: made if "
        "a process makes it, else imported.",
    )
