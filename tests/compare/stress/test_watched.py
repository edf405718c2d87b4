"""A case that is looked at does what the case that is measured does."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.compare import Case, measure_case
from loopwright.compare.stress.case import FOREIGN, LATE, MIX, OUTAGE, REMOVED, SHORTAGE
from loopwright.compare.stress.watched import CALM_SPAN, watched_case
from loopwright.layout.layout import Layout
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import simulate_layout
from loopwright.simulate.watch import Watch
from tests.prove.loops import kits

LONG = Fraction(600)


def _stands(layout: Layout, case: Case) -> bool:
    watched, scenario, start = watched_case(layout, case, "looked at")
    end = simulate_layout(watched, scenario, start=start).end
    return any(is_stuck(watched, ring, end) for ring in find_rings(watched))


@pytest.mark.parametrize("gate", ["windowed", "open"])
@pytest.mark.parametrize(
    "case",
    [
        Case(OUTAGE, "tap", LONG),
        Case(SHORTAGE, "tap", LONG, Fraction(1, 2)),
        Case(MIX, "tap"),
        Case(LATE, "", LONG, Fraction(3, 10)),
        Case(REMOVED, "tap"),
        Case(FOREIGN, "kit"),
    ],
    ids=lambda case: case.kind,
)
def test_it_stands_in_the_end_just_when_the_measured_one_does(gate: str, case: Case) -> None:
    layout = kits(rate=Fraction(18, 60), gate=gate)
    assert _stands(layout, case) == bool(measure_case(layout, case).jams)


def test_a_shortage_brings_less_and_then_as_much_as_before() -> None:
    layout, scenario, _ = watched_case(
        kits(rate=Fraction(18, 60), gate="windowed"),
        Case(SHORTAGE, "tap", LONG, Fraction(1, 2)),
        "short",
    )
    less, again = scenario.disturbances.supplies
    assert (less.start, again.start) == (CALM_SPAN, CALM_SPAN + LONG)
    assert less.rate < again.rate == next(s.rate for s in layout.sources if s.material == "tap")
    assert Watch(layout, scenario).now == 0
