"""Mixers as layouts: exact in simulation, to a constant, however long they run."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from loopwright.block.mixer import Mixer, design_mixer, need_of, prove_mixer, short_product
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.engines import Engine
from tests.layouts.mixers import PRODUCT, mixer_layout, ring_cells
from tests.layouts.ratios import Ratio, named, reduced_ratios

RATIOS = list(reduced_ratios(range(2, 5), 12))
FILLING = 400
"""Ticks until all lanes are full: more than ten times the cells of any way through these."""


class Counted:
    """Carriers of product so far, and how far they are from their shares."""

    def __init__(self, mixer: Mixer) -> None:
        self.mixer = mixer
        self.taken = dict.fromkeys((name for name, _ in mixer.shares), 0)

    @property
    def all(self) -> int:
        return sum(self.taken.values())

    def strays(self) -> list[Fraction]:
        return [
            self.taken[name] - Fraction(self.all * share, self.mixer.total)
            for name, share in self.mixer.shares
        ]


def window_bound(mixer: Mixer, ring: int) -> Fraction:
    """How far the counts of any stretch of a full mixer's product are from their shares.

    As the proof has it; missed turns at the start leave the merges at any turns.
    """
    return prove_mixer(mixer).spread + ring


def judge(mixer: Mixer, ring: int, cells: int, course: list[Mapping[str, int]], step: int) -> int:
    """Check a run whose drain had taken `course[k]` after k x `step` ticks; carriers judged."""
    start: list[Fraction] | None = None
    counted, first = Counted(mixer), 0
    for index, taken in enumerate(course):
        counted.taken = {name: taken.get(name, 0) for name, _ in mixer.shares}
        strays = counted.strays()
        # While it fills, at most one turn a cell is missed, and each shifts a count by one.
        assert max(map(abs, strays)) <= window_bound(mixer, ring) + cells
        if start is None and index * step >= FILLING:
            start, first = strays, counted.all
        if start is not None:
            moved = [abs(now - then) for now, then in zip(strays, start, strict=True)]
            assert max(moved) <= window_bound(mixer, ring)
    span = (len(course) - 1) * step - FILLING
    assert abs(counted.all - first - span * mixer.net_rate) <= 2 * ring + 2 * step + 2
    return counted.all - first


def compiled_course(mixer: Mixer, carriers: int, step: int) -> int:
    layout = mixer_layout(mixer)
    ticks = FILLING + int(carriers / mixer.net_rate) + 3 * step
    span = Fraction(ticks - ticks % step)
    run = simulate_layout(layout, Scenario("mix", "empty", span, Fraction(0), Fraction(step)))
    course: list[Mapping[str, int]] = [{}]
    for taken in run.bins[PRODUCT]:
        last = course[-1]
        course.append({name: last.get(name, 0) + taken.get(name, 0) for name, _ in mixer.shares})
    cells = sum(len(belt.path) for belt in layout.belts)
    return judge(mixer, ring_cells(layout), cells, course, step)


@pytest.mark.parametrize("shares", [(2, 1, 3), (3, 2), (5, 2, 1, 1)])
def test_every_beginning_of_a_plain_run_is_exact_to_a_constant(
    engine: Engine, shares: Ratio
) -> None:
    mixer = design_mixer(named(shares))
    layout = mixer_layout(mixer)
    cells = sum(len(belt.path) for belt in layout.belts)
    course, state = [{}], None
    for _ in range(120):
        state = engine.run(layout, 10, state=state)
        course.append(state["counters"]["drains"][PRODUCT]["carriers"])
    assert judge(mixer, ring_cells(layout), cells, course, 10) > 500


@pytest.mark.slow
@pytest.mark.parametrize("shares", [(3, 2), (5, 5, 1), (4, 3, 2, 2)])
def test_ten_thousand_carriers_one_by_one(shares: Ratio) -> None:
    assert compiled_course(design_mixer(named(shares)), 10_000, 1) >= 10_000


@pytest.mark.slow
def test_every_ratio_up_to_twelve_is_exact_over_ten_thousand_carriers() -> None:
    # Judged every 50 ticks, for speed; the test above looks at every carrier.
    for shares in RATIOS:
        assert compiled_course(design_mixer(named(shares)), 10_000, 50) >= 10_000, shares


def test_the_layout_has_the_devices_that_the_mixer_counts() -> None:
    for shares in [*RATIOS, (7, 5, 4, 3, 2, 2), (12, 11)]:
        mixer = design_mixer(named(shares))
        layout = mixer_layout(mixer)
        assert len(layout.merges) == mixer.merges
        assert len(layout.diverts) == mixer.supply_splits + mixer.feedback_splits


@pytest.mark.parametrize("shares", [(2, 1, 3), (3, 1), (3, 2), (5, 2)])
def test_a_short_lane_gives_the_product_that_is_foretold(engine: Engine, shares: Ratio) -> None:
    mixer = design_mixer(named(shares))
    for name, _ in mixer.shares:
        supply = need_of(mixer, name) * Fraction(3, 5)
        layout = mixer_layout(mixer, rates={name: supply})
        begun = engine.run(layout, FILLING)
        ended = engine.run(layout, 1200, state=begun)
        before, after = (
            state["counters"]["drains"][PRODUCT]["carriers"] for state in (begun, ended)
        )
        # Lanes and ring hold a few carriers more or less at the end than at the start.
        slack = sum(len(belt.path) for belt in layout.belts)
        for other, flow in short_product(mixer, name, supply):
            got = after.get(other, 0) - before.get(other, 0)
            assert abs(got - 1200 * flow) <= slack, (name, other)
