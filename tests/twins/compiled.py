"""The compiled engine behind the face that tests ask."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any
from unittest.mock import patch

from loopwright.layout.layout import Layout
from loopwright.simulate import division, encode, simulate_layout
from loopwright.simulate.clock import layout_tick
from loopwright.simulate.disturbance import Disturbances
from loopwright.simulate.document import state_document, state_from_document
from loopwright.simulate.scenario import Outage, Scenario

Document = dict[str, Any]
NONE = Disturbances()


class CompiledEngine:
    """The compiled program.

    `divided` runs even the smallest part of a layout by itself, with palettes of single belts, and
    with a wheel of due times so short that most things stay in it for several turns.
    """

    name = "compiled"

    def __init__(self, divided: bool = False) -> None:
        self._least = 0 if divided else division.LEAST
        self._kinds = 0 if divided else division.MOST_KINDS
        self._wheel = 4 if divided else encode.WHEEL_MOST

    def run(
        self,
        layout: Layout,
        ticks: int,
        outages: Sequence[Outage] = (),
        state: Document | None = None,
        troubles: Disturbances = NONE,
        seed: int = 0,
    ) -> Document:
        """The state document `ticks` ticks after `state`, or after the empty start; audited."""
        span = ticks * layout_tick(layout)
        scenario = Scenario(
            "twin",
            "empty",
            span,
            Fraction(0),
            span or Fraction(1),
            tuple(outages),
            seed=seed,
            disturbances=troubles,
        )
        start = None if state is None else state_from_document(state)
        least = patch.object(division, "LEAST", self._least)
        kinds = patch.object(division, "MOST_KINDS", self._kinds)
        wheel = patch.object(encode, "WHEEL_MOST", self._wheel)
        with least, kinds, wheel:
            return state_document(simulate_layout(layout, scenario, start=start).end)
