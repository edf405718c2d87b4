"""Equipment: the catalogue of stations, belts, pickers, junctions and power nodes."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from loopwright.model.field import About, Name, Section, Title, quantity, whole

Effort = Annotated[Fraction, quantity(least=0, most=1000000)]
Power = Annotated[Fraction, quantity("kW", least=0, most=1000000)]
Batches = Annotated[int, whole(1, 100, "batches")]
Side = Annotated[int, whole(1, 20, "cells")]

_TITLE = "Name for people; the key where it is left out."
_EFFORT = "What one costs the host simulation to run, relative to the others."
_POWER = "Power that one draws."


class Station(Section):
    """One kind of machine that runs processes."""

    title: Title = Field(default="", description=_TITLE)
    width: Side = Field(default=3, description="Cells from west to east.")
    height: Side = Field(default=3, description="Cells from north to south.")
    speed: Annotated[Fraction, quantity(above=0, most=1000)] = Field(
        default=Fraction(1), description="Factor: a cycle takes its time divided by this."
    )
    power: Power = Field(default=Fraction(0), description=_POWER)
    effort: Effort = Field(default=Fraction(1), description=_EFFORT)
    batches: Batches = Field(
        default=2, description="Batches of each input that may wait at a station."
    )
    outlet_batches: Batches = Field(
        default=2, description="Batches of each output that may wait at a station."
    )
    limit: Annotated[int | None, whole(1, 100000, "stations", "none")] = Field(
        default=None,
        description="Most stations of this kind there are; none where there is no limit.",
    )


class Belt(Section):
    """One kind of belt; figures are for one cell of it."""

    title: Title = Field(default="", description=_TITLE)
    speed: Annotated[Fraction, quantity("carriers/s", above=0, most=1000)] = Field(
        description="Carriers that pass a point of a full moving belt, which is cells a second."
    )
    effort: Effort = Field(default=Fraction(1, 10), description=_EFFORT)
    power: Power = Field(default=Fraction(0), description=_POWER)


class Picker(Section):
    """One kind of pick-and-place unit."""

    title: Title = Field(default="", description=_TITLE)
    swing: Annotated[Fraction, quantity("s", above=0, most=3600)] = Field(
        description="Time of one whole pick and place, there and back."
    )
    hand: Annotated[int, whole(1, 8, "units")] = Field(
        default=1, description="Most units it carries at a time."
    )
    habit: Literal["commit", "grab"] = Field(
        default="commit",
        description="commit takes only what there is room for; grab takes ahead and holds.",
    )
    takes: Literal["units", "carriers", "hands"] = Field(
        default="units",
        description="units: as many as it may, off a carrier; carriers: a carrier on a belt only "
        "whole, if hand and room are large enough; hands: as many as its hand holds, or none.",
    )
    reach: Annotated[int, whole(1, 3, "cells")] = Field(
        default=1, description="Distance from the picker to where it takes and puts."
    )
    effort: Effort = Field(default=Fraction(1), description=_EFFORT)
    power: Power = Field(default=Fraction(0), description=_POWER)


class Junction(Section):
    """What one junction costs."""

    effort: Effort = Field(default=Fraction(2), description=_EFFORT)
    power: Power = Field(default=Fraction(0), description=_POWER)


class GateJunction(Section):
    """What one gate costs."""

    effort: Effort = Field(default=Fraction(4), description=_EFFORT)
    power: Power = Field(default=Fraction(0), description=_POWER)


class BridgeJunction(Section):
    """What one bridge costs, and how far it carries."""

    effort: Effort = Field(default=Fraction(2), description=_EFFORT)
    power: Power = Field(default=Fraction(0), description=_POWER)
    span: Annotated[int, whole(1, 100, "cells")] = Field(
        default=4, description="Most cells that a belt stays one level up."
    )


class Junctions(Section):
    """Junctions of belts."""

    merge: Junction = Field(default_factory=Junction, description="Joins 2 or 3 belts into one.")
    divert: Junction = Field(default_factory=Junction, description="Splits one belt into 2 or 3.")
    gate: GateJunction = Field(
        default_factory=GateJunction, description="Admits fresh material to a loop."
    )
    bridge: BridgeJunction = Field(
        default_factory=BridgeJunction, description="Carries one belt over another."
    )


class PowerNode(Section):
    """One kind of power node, standing on one cell."""

    title: Title = Field(default="", description=_TITLE)
    shape: Literal["square", "round"] = Field(
        default="square", description="Form of the area that it supplies."
    )
    cover: Annotated[int, whole(1, 100, "cells")] = Field(
        description="Side of the square, or how far the round area goes across, with the node in "
        "the middle."
    )
    span: Annotated[int, whole(1, 200, "cells")] = Field(
        description="Longest link to the next node, from middle to middle."
    )
    supply: Annotated[Fraction | None, quantity("kW", above=0, most=1000000, none=True)] = Field(
        default=None,
        description="Most power that one hands on to devices in its area; none where there is no "
        "limit.",
    )
    effort: Effort = Field(default=Fraction(1), description=_EFFORT)


class Treatment(Section):
    """An applicator over a belt: it spends an agent and marks units on their way to a process.

    A batch whose inputs are all marked gets the factors.
    """

    title: Title = Field(default="", description=_TITLE)
    agent: Name = Field(description="What it spends: a key of materials.")
    dose: Annotated[Fraction, quantity(least=0, most=1000)] = Field(
        default=Fraction(1), description="Units of the agent that each marked unit takes."
    )
    processes: tuple[Name, ...] = Field(
        max_length=1000,
        description="Processes whose inputs it may mark: keys of processes. The plan treats them "
        "where that pays.",
    )
    batch_yield: Annotated[Fraction, quantity(above=0, most=1000)] = Field(
        default=Fraction(1), alias="yield", description="Factor on the yield of a marked batch."
    )
    speed: Annotated[Fraction, quantity(above=0, most=1000)] = Field(
        default=Fraction(1),
        description="Factor on the speed of a station that runs marked batches.",
    )
    rate: Annotated[Fraction, quantity("units/s", above=0, most=1000000)] = Field(
        default=Fraction(10), description="Units that one applicator marks."
    )
    effort: Effort = Field(default=Fraction(1), description=_EFFORT)
    power: Power = Field(default=Fraction(0), description=_POWER)


class Equipment(Section):
    """The catalogue. With `use`, what is not given here is taken from another file."""

    use: About = Field(
        default="",
        description="Catalogue file inside the project's folder with more equipment; what the "
        "project says itself goes first.",
    )
    stations: dict[Name, Station] = Field(description="Kinds of stations; at least one.")
    belts: dict[Name, Belt] = Field(description="Kinds of belts; at least one.")
    pickers: dict[Name, Picker] = Field(description="Kinds of pickers; at least one.")
    junctions: Junctions = Field(default_factory=Junctions, description="Junctions of belts.")
    power_nodes: dict[Name, PowerNode] = Field(
        default_factory=dict, description="Kinds of power nodes; may be left out."
    )
    treatments: dict[Name, Treatment] = Field(
        default_factory=dict, description="Kinds of treatments; may be left out."
    )
