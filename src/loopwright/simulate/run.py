"""What a run gave."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.layout.layout import Layout
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import Counters, State


@dataclass(frozen=True, slots=True)
class Run:
    """A finished run.

    `tick` [s]; `ticks` carried out; `breaks` names the belts at which rings are broken;
    `bins` holds, for each drain, units by material in each bin of `scenario.bin` [s] (last bin cut
    short where the span is no multiple); `warm` are the counters at the end of the warm-up.
    """

    layout: Layout
    scenario: Scenario
    tick: Fraction
    ticks: int
    breaks: tuple[str, ...]
    start: State
    warm: Counters
    end: State
    bins: Mapping[str, tuple[Mapping[str, int], ...]]
    wall: float
