"""Hands that wait to be full: LW426 exactly where a run never swings again."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.layout.check import check_layout
from loopwright.layout.hand import check_hands
from tests.engines import ENGINES
from tests.layout.design import example, placed
from tests.layouts.build import Build


@given(st.integers(1, 6), st.integers(1, 8), st.integers(0, 8))
def test_a_hand_that_never_fills_is_named_and_no_other(batch: int, hand: int, more: int) -> None:
    """A station with all it needs, and a picker with a full hand in mind, on an endless belt."""
    build = Build("AB")
    build.belt("out", 2)
    build.drain("out")
    build.station("m", 1, {"A": 1}, {"B": batch}, {"A": 300}, outlet_cap=batch + more)
    build.picker("p", "m", ("out", 0), hand=hand, takes="hands")
    layout = build.layout()
    engine = ENGINES[1]
    start = engine.run(layout, 0)
    start["stations"]["m"]["inputs"]["A"] = 300
    half, end = (engine.run(layout, ticks, state=start) for ticks in (150, 299))
    stands = half["counters"]["picks"] == end["counters"]["picks"]
    found = list(check_hands(layout))
    assert bool(found) == stands
    assert {finding.code for finding in found} <= {"LW426"}


@pytest.mark.parametrize(("ends", "most"), [(("box", "big"), 5), (("big", "box"), 5)])
def test_stores_hold_a_hand(ends: tuple[str, str], most: int) -> None:
    build = Build("A")
    build.store("box", most)
    build.store("big", 50)
    build.picker("p", *ends, hand=6, takes="hands")
    (finding,) = check_hands(build.layout())
    assert finding.message == f"p waits for a full hand of 6, and box holds {most} at most"


def test_a_belt_has_to_bring_a_hand() -> None:
    build = Build("A", stack=3)
    build.belt("lane", 4)
    build.source("lane", load=2)
    build.store("box", 50)
    build.picker("p", ("lane", 2), "box", hand=4, takes="hands")
    assert [finding.code for finding in check_hands(build.layout())] == ["LW426"]


def test_fractions_that_are_kept_over_leave_odd_units() -> None:
    build = Build("AB")
    build.station("m", 1, {"A": 1}, {"B": 2}, outlet_cap=5, batch_yield=Fraction(5, 4))
    build.store("box", 50)
    build.picker("p", "m", "box", hand=3, takes="hands")
    build.picker("q", "m", "box", hand=4, takes="hands")
    assert [finding.value for finding in check_hands(build.layout())] == ["a hand of 4"]


def test_a_placed_layout_is_checked() -> None:
    layout = placed(example("check-block.yaml", rate=Fraction(15), architecture="loop", row=8))
    outlets = tuple(
        replace(picker, takes="hands", hand=15) if "outlet" in picker.name else picker
        for picker in layout.pickers
    )
    found = {finding.code for finding in check_layout(replace(layout, pickers=outlets))}
    assert found == {"LW426"}
