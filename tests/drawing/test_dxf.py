"""DXF: clean under audit, in metres, layers and blocks by kind of device."""

from __future__ import annotations

from fractions import Fraction
from io import StringIO
from itertools import pairwise
from math import hypot

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.drawing import layout_marks, marks_dxf
from loopwright.drawing.dxf import dashes
from loopwright.drawing.mark import Line
from tests.drawing.plant import plant, yard
from tests.layout.design import example, placed


def document(text: str):
    found = ezdxf.read(StringIO(text))
    auditor = found.audit()
    assert not auditor.errors
    assert not auditor.fixes
    return found


@pytest.mark.parametrize("layout", [yard(), plant(2, 6)], ids=["yard", "plant"])
def test_it_opens_cleanly(layout):
    found = document(marks_dxf(layout_marks(layout), layout.cell_size, layout.title))
    assert found.units == 6
    layers = {layer.dxf.name for layer in found.layers}
    assert {mark.layer for mark in layout_marks(layout)} <= layers


def test_devices_are_blocks_by_kind():
    layout = placed(example("starter.yaml"))
    found = document(marks_dxf(layout_marks(layout), layout.cell_size))
    space = found.modelspace()
    stations = [e for e in space.query("INSERT") if e.dxf.layer == "stations"]
    nodes = [e for e in space.query("INSERT") if e.dxf.layer == "power"]
    assert len(stations) == len(layout.stations)
    assert len({entity.dxf.name for entity in stations}) == 1
    assert len(nodes) >= len(layout.power_nodes)
    numbers = {e.dxf.text for e in space.query("TEXT") if e.dxf.layer == "stations"}
    assert {str(n + 1) for n in range(len(layout.stations))} <= numbers


def test_lengths_are_in_metres_and_north_is_up():
    layout = placed(example("starter.yaml"))
    for size in (Fraction(1), Fraction(1, 2)):
        found = document(marks_dxf(layout_marks(layout), size))
        at = sorted(
            (e.dxf.insert.x, e.dxf.insert.y)
            for e in found.modelspace().query("INSERT")
            if e.dxf.layer == "stations"
        )
        assert at[1][0] - at[0][0] == pytest.approx(3 * float(size))
        assert all(y < 0 for _, y in at)


def test_the_same_bytes_every_time():
    marks = layout_marks(yard())
    assert marks_dxf(marks, Fraction(1)) == marks_dxf(marks, Fraction(1))
    assert not ezdxf.options.write_fixed_meta_data_for_testing


@given(
    st.lists(st.tuples(st.integers(0, 50), st.integers(0, 50)), min_size=2, max_size=5),
    st.integers(1, 9),
    st.integers(1, 9),
    st.integers(0, 30),
)
def test_dashes_cover_their_share(points, on, off, start):
    line = Line(tuple((float(x), float(y)) for x, y in points), "thin", "t", dash=(on, off),
                offset=start)  # fmt: skip
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(line.points))
    drawn = sum(
        hypot(b[0] - a[0], b[1] - a[1]) for piece in dashes(line) for a, b in pairwise(piece)
    )
    whole, rest = divmod(start + length, on + off)
    before = min(start % (on + off), on) + start // (on + off) * on
    assert drawn == pytest.approx(whole * on + min(rest, on) - before, abs=1e-6)
