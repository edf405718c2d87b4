"""Charts: well-formed, to scale, and calm about odd data."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest

from loopwright.drawing import RowShares, plan_chart, rate_chart, share_bars
from loopwright.drawing.axis import round_steps, short_number
from loopwright.plan.plan import Flow, MaterialPlan, Plan, ProcessPlan
from tests.drawing.plant import MATERIALS

SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}text")]


def titles(svg: str) -> list[str]:
    return [element.text or "" for element in ET.fromstring(svg).iter(f"{SVG}title")]


def test_axis_steps_are_round_and_cover_the_data() -> None:
    assert round_steps(0, 32, 6) == [0, 10, 20, 30, 40]
    assert round_steps(0, 0.9, 6) == pytest.approx([0, 0.2, 0.4, 0.6, 0.8, 1.0])
    assert round_steps(5, 5) == [5, 6]
    assert [short_number(v) for v in (30.0, 0.25, 12345.6)] == ["30", "0.25", "12346"]


def test_rate_chart_names_axes_units_and_target() -> None:
    svg = rate_chart([0, 10, 20], [0, 12, 15], 30)
    assert {"rate [units/s]", "time [s]", "target 30 units/s"} <= set(texts(svg))
    # 0 and 30 units/s lie 3/4 of a 40 units high field of 204 px apart.
    line = re.search(r'<g class="target">\n<path d="M64 (\d+)', svg)
    assert line is not None
    assert 272 - int(line[1]) == pytest.approx(204 * 30 / 40)


@pytest.mark.parametrize(
    ("times", "rates"), [([], []), ([1], [2]), ([0, 1], [0, 0]), ([0, 1], [float("nan"), -3])]
)
def test_rate_chart_of_odd_data(times: list[float], rates: list[float]) -> None:
    assert "nan" not in rate_chart(times, rates)
    ET.fromstring(rate_chart(times, rates, theme="auto"))


def test_rate_chart_wants_pairs() -> None:
    with pytest.raises(ValueError, match="2 times, but 1 rates"):
        rate_chart([0, 1], [3])


def test_share_bars_tell_each_share() -> None:
    rows = [
        RowShares("row 1", 0.9, 0.05, {"plate": 0.05}),
        RowShares("row <2>", 0.5, 0, {"glass": 0.5}),
    ]
    svg = share_bars(rows, MATERIALS)
    assert {"row 1: busy 90.0 %", "row 1: starved of plate 5.0 %"} <= set(titles(svg))
    assert {"row <2>", "C 50 %", "starved of A Steel plate"} <= set(texts(svg))
    assert "starved of B Threaded rod" not in texts(svg)
    widths = re.findall(r"h([\d.]+)v19", svg)
    assert sum(map(float, widths)) == pytest.approx(2 * 590, abs=0.1)


def test_share_bars_of_no_rows() -> None:
    ET.fromstring(share_bars([], ()))


def small_plan(returned: Fraction = Fraction(0)) -> Plan:
    """A frame of two plates, cut from sheets; `returned` panels a second go back to the saw."""
    zero, one = Fraction(0), Fraction(1)
    processes = (
        ProcessPlan(
            "frame", "bench", Fraction(10), Fraction(160, 3), 54, one, one,
            makes=(Flow("panel", Fraction(10)),),
            uses=(Flow("plate", Fraction(20)),),
        ),
        ProcessPlan(
            "cut", "saw", Fraction(20), Fraction(20), 20, one, one,
            makes=(Flow("plate", Fraction(20)),),
            uses=(Flow("sheet", Fraction(5)), Flow("panel", returned)),
        ),
    )  # fmt: skip
    materials = (
        MaterialPlan("panel", Fraction(10), zero, returned, Fraction(10) - returned, zero),
        MaterialPlan("plate", Fraction(20), zero, Fraction(20), zero, zero),
        MaterialPlan("sheet", zero, Fraction(5), Fraction(5), zero, zero),
    )
    return Plan(processes, materials, (), one, one)


def test_plan_chart_shows_all_nodes_and_widths_to_scale() -> None:
    svg = plan_chart(small_plan(), materials=MATERIALS)
    assert {"frame", "54 stations", "cut", "A Steel plate", "sheet"} <= set(texts(svg))
    assert {"plate to frame: 20 units/s", "sheet to cut: 5 units/s"} <= set(titles(svg))
    # The widest layer has 260 px: plates, 20 units/s. Sheets have a quarter of that.
    path = re.search(r'd="([^"]+)"><title>sheet to cut', svg)
    assert path is not None
    heights = [float(step) for step in re.findall(r"v([\d.]+)", path[1])]
    assert heights == pytest.approx([65], abs=0.1)


def test_plan_chart_of_a_recycling_process_and_of_nothing() -> None:
    ET.fromstring(plan_chart(small_plan(returned=Fraction(2))))
    ET.fromstring(plan_chart(Plan((), (), (), Fraction(0), Fraction(0))))
