"""Quotas inside their windows will do, outside they do not; and the measured tables of the laws."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.prove import prove_loops
from loopwright.prove.law.surplus import sure_surplus, surplus_needed
from loopwright.prove.law.window import fitting_quotas, quota_windows
from loopwright.prove.reason import load_of, offer, use
from loopwright.prove.rings import find_rings
from tests.prove.loops import kits, small_loop, with_quotas

ROOT = Path(__file__).parents[2]
ROW = {"rate": Fraction(12, 20), "row": 12}


def test_a_windowed_gate_lets_in_enough_from_the_lower_end_on() -> None:
    layout = kits(**ROW, gate="windowed")
    (ring,) = find_rings(layout)
    windows = quota_windows(ring)
    assert windows is not None
    for name in windows:
        for below in (0, 1):
            quotas = {other: window.least for other, window in windows.items()}
            quotas[name] -= below
            (found,) = find_rings(with_quotas(layout, "windowed", quotas))
            enough = offer(found, name) * load_of(found, name) >= use(found, name)
            assert enough == (below == 0)


def test_the_upper_end_is_the_last_that_leaves_a_place() -> None:
    layout = kits(**ROW, gate="scarcest-first")
    (ring,) = find_rings(layout)
    windows = quota_windows(ring)
    assert windows is not None
    for name in windows:
        for above in (0, 1):
            quotas = {other: window.least for other, window in windows.items()}
            quotas[name] = windows[name].most + above
            verdict = prove_loops(with_quotas(layout, "scarcest-first", quotas), runs=False)[0]
            assert (verdict.outcome == "proved") == (above == 0)


@pytest.mark.parametrize("rule", ["windowed", "counted", "scarcest-first"])
def test_fitting_quotas_lie_inside(rule: str) -> None:
    (ring,) = find_rings(kits(**ROW, gate=rule))
    windows, fitting = quota_windows(ring), fitting_quotas([ring])
    assert windows is not None
    assert fitting is not None
    assert all(w.least <= fitting[name] <= w.most for name, w in windows.items())
    assert sum(fitting.values()) <= ring.cells - 2


def test_a_loop_too_short_for_its_row_has_no_fitting_quotas() -> None:
    layout = small_loop("windowed", quotas={"A": 2, "B": 2}, at=(0, 1, 2), cycle=5)
    assert fitting_quotas(find_rings(layout)) is None


def test_the_table_of_surpluses_is_what_was_measured() -> None:
    lines = (ROOT / "verification" / "surplus.txt").read_text("utf-8").splitlines()
    rows = [line.split() for line in lines if line.startswith(("pass", "loop"))]
    seen = 0
    for fed, way, load, picks, held, *_, needed, _sure, _differ in rows:
        if way == "chance":
            continue
        takes = "carriers" if picks == "whole" else "units"
        found = surplus_needed(fed, int(load), takes, int(held))
        assert (found is None) == (needed == "more")
        assert found is None or found == Fraction(int(needed.removesuffix("%")), 100)
        assert sure_surplus(int(held)) == Fraction(int(held) + 1, int(held) - 1)
        seen += 1
    assert seen == 20
