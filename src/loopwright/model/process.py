"""Processes: inputs become outputs in one cycle on a station."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from pydantic import Field

from loopwright.model.field import Name, Section, Title, quantity, whole

Units = Annotated[int, whole(1, 10000, "units")]
Least = Annotated[Fraction, quantity("units/s", least=0, most=1000000)]
Most = Annotated[Fraction | None, quantity("units/s", least=0, most=1000000, none=True)]


class Process(Section):
    """One process: a batch of `inputs` goes in, `outputs` times the yield come out."""

    title: Title = Field(default="", description="Name for people; the key where it is left out.")
    station: Name = Field(description="The station that runs it: a key of equipment.stations.")
    cycle: Annotated[Fraction, quantity("s", above=0, most=3600000)] = Field(
        description="Time of one cycle on a station of speed 1."
    )
    inputs: dict[Name, Units] = Field(
        default_factory=dict, description="Units of each material that one cycle takes in."
    )
    caps: dict[Name, Units] = Field(
        default_factory=dict,
        description="Units of an input that may wait at a station; of one that is not named, the "
        "station's batches.",
    )
    outputs: dict[Name, Units] = Field(
        description="Units of each material that one cycle gives, before the yield; at least one."
    )
    batch_yield: Annotated[Fraction, quantity(above=0, most=1000)] = Field(
        default=Fraction(1),
        alias="yield",
        description="Factor on all outputs; fractions of a unit are kept over to the next cycle.",
    )
    least: Least = Field(
        default=Fraction(0),
        description="Cycles a second that it runs at least, over all its stations.",
    )
    most: Most = Field(
        default=None,
        description="Cycles a second that it runs at most; the same as least to fix the rate, 0 "
        "to leave it out, none for no limit.",
    )
