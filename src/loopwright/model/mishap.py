"""What goes wrong in a scenario besides outages."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from loopwright.model.field import Name, Section, Title, quantity, whole

_MOST = 3600000

Span = Annotated[Fraction, quantity("s", above=0, most=_MOST)]
Moment = Annotated[Fraction, quantity("s", least=0, most=_MOST)]
Share = Annotated[Fraction, quantity(least=0, most=1)]
Cell = Annotated[int, whole(0, 32766, "cells")]
Units = Annotated[int, whole(1, 8, "units")]

_BELT = "A belt, by its name in the layout."
_CELL = "Which cell of it, from 0 at its tail."


class Law(Section):
    """How times are drawn about their mean."""

    kind: Literal["fixed", "uniform", "exponential", "geometric", "empirical"] = Field(
        description="fixed: always the mean; uniform: within spread of it; exponential; geometric: "
        "in whole ticks; empirical: one of values, whatever the mean."
    )
    spread: Share = Field(
        default=Fraction(0), description="Of uniform, as a share of the mean: 0.1 is 10 % each way."
    )
    values: tuple[Span, ...] = Field(
        default=(), max_length=10000, description="Of empirical; each is as likely as the others."
    )


class Failures(Section):
    """Stations that fail and are repaired."""

    process: Name | None = Field(
        default=None, description="Stations that run this process; all where it is left out."
    )
    up: Span = Field(description="Mean time until a failure.")
    down: Span = Field(description="Mean time of a repair.")
    clock: Literal["work", "time"] = Field(
        default="work",
        description="work: only busy time counts until a failure; time: all time that it is up.",
    )
    law: Law = Field(
        default_factory=lambda: Law(kind="geometric"), description="How both times are drawn."
    )


class Arrivals(Section):
    """Carriers of a material arrive at its docks by chance, at the rate of the dock on average."""

    material: Name = Field(description="What arrives: a key of materials.")
    law: Law = Field(description="How the times between carriers are drawn.")
    queue: Annotated[int | None, whole(1, 1000000, "carriers", "none")] = Field(
        default=1, description="Carriers that wait at a dock; more are lost. none: any number."
    )


class Supply(Section):
    """The docks of a material give more or less from a moment on."""

    material: Name = Field(description="Whose docks: a key of materials.")
    at: Moment = Field(description="From when on, from the beginning of the run.")
    factor: Annotated[Fraction, quantity(least=0, most=1000)] = Field(
        description="Times the rate of the dock; docks without a rate give as much as before."
    )


class BrownOut(Section):
    """All stations run slowly for a while."""

    at: Moment = Field(description="Start, from the beginning of the run.")
    span: Span = Field(description="How long it lasts.")
    speed: Annotated[Fraction, quantity(above=0, most=1)] = Field(
        description="Factor on the speed of cycles that start meanwhile."
    )


class Slow(Section):
    """A belt, or one cell of it, that does not go on at every step."""

    belt: Title = Field(description=_BELT)
    cell: Annotated[int | None, whole(0, 32766, "cells", "none")] = Field(
        default=None, description=f"{_CELL} none: the whole belt."
    )
    every: Annotated[int, whole(1, 1000000, "steps")] = Field(
        default=1, description="It goes on at each so many-th step of the belt."
    )
    refuses: Share = Field(
        default=Fraction(0), description="Share of these at which it stays all the same, by chance."
    )


class Foreign(Section):
    """Somebody puts a carrier on a belt, in place of what is there."""

    belt: Title = Field(description=_BELT)
    cell: Cell = Field(description=_CELL)
    material: Name = Field(description="What is on it: a key of materials.")
    units: Units = Field(default=1, description="How much of it.")
    at: Moment = Field(description="When, from the beginning of the run.")


class Removal(Section):
    """Somebody takes a carrier off a belt."""

    belt: Title = Field(description=_BELT)
    cell: Cell = Field(description=_CELL)
    at: Moment = Field(description="When, from the beginning of the run.")


class Mishaps(Section):
    """What goes wrong besides outages."""

    missed_picks: Annotated[Fraction, quantity(least=0, most=Fraction(99, 100))] = Field(
        default=Fraction(0), description="Share of picks that miss, at every picker."
    )
    cycles: Law = Field(
        default_factory=lambda: Law(kind="fixed"), description="How cycles of stations are drawn."
    )
    failures: tuple[Failures, ...] = Field(default=(), description="Stations that fail.")
    arrivals: tuple[Arrivals, ...] = Field(default=(), description="Supplies by chance.")
    supplies: tuple[Supply, ...] = Field(default=(), description="Supplies that change.")
    brown_outs: tuple[BrownOut, ...] = Field(default=(), description="Times of little power.")
    slow: tuple[Slow, ...] = Field(default=(), description="Belts and cells that are slow.")
    foreign: tuple[Foreign, ...] = Field(default=(), description="Carriers put on by hand.")
    removed: tuple[Removal, ...] = Field(default=(), description="Carriers taken off by hand.")
