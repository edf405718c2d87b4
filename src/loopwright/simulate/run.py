"""What a run gave."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from loopwright.layout.layout import Layout
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import Counters, State

if TYPE_CHECKING:
    from loopwright.simulate.samples import Samples
    from loopwright.simulate.truncation import Truncation

Ended = Literal["span", "full-rate", "jam", "interrupted"]
"""Why a run ended: it was over, it had reached what it was to run to, or somebody stopped it."""


@dataclass(frozen=True, slots=True)
class Run:
    """A finished run.

    `tick` [s]; `ticks` carried out; `breaks` names the belts at which rings are broken;
    `bins` holds, for each drain, units by material in each bin of `scenario.bin` [s] (last bin cut
    short where the span is no multiple); `warm` are the counters at the end of the warm-up.
    Where the warm-up was to be found, `scenario.warm_up` is what was found and `truncation` how.
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
    ended: Ended = "span"
    samples: Samples | None = None
    truncation: Truncation | None = None
