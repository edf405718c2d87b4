"""The compiled engine behind the face that tests ask."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from loopwright.layout.layout import Layout
from loopwright.simulate import simulate_layout
from loopwright.simulate.clock import layout_tick
from loopwright.simulate.document import state_document, state_from_document
from loopwright.simulate.scenario import Outage, Scenario

Document = dict[str, Any]


class CompiledEngine:
    """The compiled program."""

    name = "compiled"

    def run(
        self,
        layout: Layout,
        ticks: int,
        outages: Sequence[Outage] = (),
        state: Document | None = None,
    ) -> Document:
        """The state document `ticks` ticks after `state`, or after the empty start; audited."""
        span = ticks * layout_tick(layout)
        scenario = Scenario("twin", "empty", span, Fraction(0), span or Fraction(1), tuple(outages))
        start = None if state is None else state_from_document(state)
        return state_document(simulate_layout(layout, scenario, start=start).end)
