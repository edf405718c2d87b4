"""Choices: what the designer settles; everything left on auto is worked out."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from loopwright.model.field import Name, Section, quantity, whole

Auto = Literal["auto"]


Weight = Annotated[Fraction, quantity(least=0, most=1000000)]
Carriers = Annotated[int, whole(1, 100000, "carriers")]


class Objective(Section):
    """What the plan keeps small: the sum of these, each times its weight."""

    effort: Weight = Field(
        default=Fraction(1), description="Weight of the effort of stations and applicators."
    )
    stations: Weight = Field(default=Fraction(0), description="Weight of each station.")
    power: Weight = Field(
        default=Fraction(0), description="Weight of each kW of stations and applicators."
    )
    floor: Weight = Field(
        default=Fraction(0), description="Weight of each cell that stations stand on."
    )
    imports: Weight = Field(
        default=Fraction(1), description="Weight of the prices of imports and deposits."
    )
    drains: Weight = Field(
        default=Fraction(1), description="Weight of the prices of draining surplus."
    )


class Choices(Section):
    """How the block is to be built."""

    scope: Literal["auto", "block", "site"] = Field(
        default="auto",
        description="block: the rows of one process, all it takes coming from docks; site: a "
        "section for every process of the plan; auto: block.",
    )
    process: Name = Field(
        default="auto",
        description="Process that the block is built for; auto: what makes the demand.",
    )
    architecture: Literal["auto", "plain", "loop", "pass"] = Field(
        default="auto",
        description="plain: one belt a material; loop: one mixed belt that returns; pass: one "
        "mixed belt with a make-up row.",
    )
    sides: Literal["auto", "double", "single"] = Field(
        default="auto",
        description="double: two rows back to back round one output belt; single: one.",
    )
    row: Annotated[int | Auto, whole(1, 10000, "stations", "auto")] = Field(
        default="auto", description="Stations in a row."
    )
    belt: Name = Field(default="auto", description="Belt of lanes and supplies; auto: the fastest.")
    output_belt: Name = Field(
        default="auto", description="Belt of outputs; auto: the same as belt."
    )
    collector_belt: Name = Field(
        default="auto",
        description="Belt that collects what rows of a pass leave over, and of the make-up row "
        "that lives on it; auto: the same as belt.",
    )
    picker: Name = Field(default="auto", description="Picker at the inlets; auto: worked out.")
    output_picker: Name = Field(
        default="auto", description="Picker at the outlets; auto: worked out."
    )
    gate: Literal[
        "auto",
        "open",
        "ratio-locked",
        "counted",
        "windowed",
        "scarcest-first",
        "drained",
        "sorted",
    ] = Field(
        default="auto",
        description="What admits fresh material to a loop. drained: by a fixed pattern, leftovers "
        "having a share of it, the rest of them is drained; sorted: by a fixed pattern, leftovers "
        "wait on a siding for each material and go before fresh supply.",
    )
    siding: Annotated[int | Auto, whole(2, 30000, "cells", "auto")] = Field(
        default="auto",
        description="Least length of a siding; auto: as much as it needs so that it is never full.",
    )
    quotas: dict[Name, Carriers] = Field(
        default_factory=dict,
        description="Carriers of each input that a gate which counts lets onto a loop; those of an "
        "input that is not named are worked out.",
    )
    mix: Literal["auto", "gate", "mixer"] = Field(
        default="auto",
        description="gate: a gate mixes fresh material; mixer: a tree of merges does, in the ratio "
        "of the recipe; auto: gate.",
    )
    supply: Literal["auto", "docks", "trunks"] = Field(
        default="auto",
        description="docks: each row has a dock a material; trunks: belts from few docks are split "
        "over the rows; auto: docks.",
    )
    flow: Literal["auto", "east", "west"] = Field(
        default="auto",
        description="Where rows flow to, from the docks at their heads; auto: east, or on a site "
        "with sections whichever way makes belts shorter.",
    )
    row_flows: tuple[Literal["auto", "east", "west"], ...] = Field(
        default=(),
        description="Where single rows flow to, row 1 first: rows that share an output belt or a "
        "make-up row flow alike; auto, and rows beyond the list: as flow says.",
    )
    power_node: Name = Field(
        default="auto",
        description="Power node that is placed; auto: the kind that reaches all with the least "
        "effort; none: no node is placed.",
    )
    aisle: Annotated[int, whole(1, 50, "cells")] = Field(
        default=1, description="Cells kept free between rows that stand lane to lane."
    )
    surplus: Annotated[Fraction | Auto, quantity(least=0, most=1, auto=True)] = Field(
        default="auto",
        description="Least share of a lane's capacity that a loop row leaves unused.",
    )
    maintenance_gap: Annotated[int | None, whole(1, 10000, "stations", "none")] = Field(
        default=None,
        description="A cell is left free after so many stations of a row, to come to them; none: "
        "stations stand side by side.",
    )
    objective: Objective = Field(
        default_factory=Objective, description="What the plan keeps small."
    )
    maximise: Name = Field(
        default="none",
        description="Product of which as much as the limits allow is made, its demand being the "
        "least; none: the demand is met exactly.",
    )
