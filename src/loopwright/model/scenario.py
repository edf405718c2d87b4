"""Scenarios: what is done to the layout in a run."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import Field

from loopwright.model.field import Name, Section, quantity, whole
from loopwright.model.mishap import Mishaps

_MOST = 3600000
_SPAN = Fraction(600)

Auto = Literal["auto"]

Span = Annotated[Fraction, quantity("s", above=0, most=_MOST)]
Moment = Annotated[Fraction, quantity("s", least=0, most=_MOST)]


class Outage(Section):
    """All docks of one material give nothing for a while."""

    material: Name = Field(description="What is missing: a key of materials.")
    at: Moment = Field(description="Start, from the beginning of the run.")
    span: Span = Field(description="How long it lasts.")


def _warm_up(data: dict[str, Any]) -> Fraction:
    span: Fraction = data.get("span", _SPAN)
    return min(Fraction(120), span / 5)


def _bin(data: dict[str, Any]) -> Fraction:
    span: Fraction = data.get("span", _SPAN)
    return Fraction(max(1, round(span / 120)))


class Scenario(Section):
    """One run: start, length, and what goes wrong."""

    start: Literal["empty", "primed"] = Field(
        default="primed", description="empty: nothing anywhere; primed: belts and stations filled."
    )
    span: Span = Field(default=_SPAN, description="Length of the whole run.")
    warm_up: Annotated[Fraction | Auto, quantity("s", least=0, most=_MOST, auto=True)] = Field(
        default_factory=_warm_up,
        description="Left out of the readings at the start; shorter than span. auto: found from "
        "the rate series by MSER-5. Without it: 2 min, or a fifth of span where that is less.",
    )
    bin: Span = Field(
        default_factory=_bin,
        description="Width of a step of the rate series. Without it: span / 120 in whole seconds, "
        "at least 1 s.",
    )
    seed: Annotated[int, whole(0, 2**32 - 1)] = Field(
        default=0, description="What everything at random in the run is drawn from."
    )
    outages: tuple[Outage, ...] = Field(default=(), description="Supplies that stop for a while.")

    mishaps: Mishaps = Field(
        default_factory=Mishaps, description="What goes wrong besides outages."
    )

    def of_span(self, span: Fraction) -> Scenario:
        """The same run over `span` [s]; warm-up and bin follow where they were not given."""
        given = {"span": span}
        factories = {"warm_up": _warm_up, "bin": _bin}
        follows = {
            name: make(given)
            for name, make in factories.items()
            if name not in self.model_fields_set
        }
        return self.model_copy(update=given | follows)
