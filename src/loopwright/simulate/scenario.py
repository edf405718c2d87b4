"""What is done to a layout in one run."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Outage:
    """The source named `source` gives nothing for `span` [s] from `start` [s] on."""

    source: str
    start: Fraction
    span: Fraction


@dataclass(frozen=True, slots=True)
class Scenario:
    """Start state, length and disturbances of a run.

    `start` is empty or primed; `span` [s] is the whole run, of which the first `warm_up` [s] is
    left out of the readings; `bin` [s] is the width of the rate series.
    """

    name: str
    start: str
    span: Fraction
    warm_up: Fraction
    bin: Fraction
    outages: tuple[Outage, ...] = ()
