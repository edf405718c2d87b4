"""Sheets at scale: complete, legible on paper, the same bytes every time."""

from __future__ import annotations

import struct
from fractions import Fraction
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.drawing import PAPERS, draw_sheets, layout_marks, sheet_png, sheets_pdf
from loopwright.drawing.clip import clipped, moved
from loopwright.drawing.detail import detail_views
from loopwright.drawing.dimension import metres_text
from loopwright.drawing.mark import Area, Line, Text, marks_text
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.tiles import cut_points, tile_boxes
from loopwright.grid import Box
from tests.drawing.plant import plant, yard
from tests.layout.design import example, placed
from tests.layout.sorted_rows import sorted_kits

FLOATS = st.floats(-100, 100)
POINTS = st.tuples(FLOATS, FLOATS)
WINDOW = (-20.0, -10.0, 30.0, 25.0)


def texts(sheet: Sheet) -> list[str]:
    return [mark.text for mark in sheet.marks if isinstance(mark, Text)]


@pytest.fixture(scope="module")
def kits():
    return placed(example("filter-kits.yaml"))


@pytest.mark.parametrize("name", ["A3", "A4"])
@pytest.mark.parametrize("layout", [yard(), plant(2, 20)], ids=["yard", "plant"])
def test_everything_is_within_the_page(name, layout):
    paper = PAPERS[name]
    for sheet in draw_sheets(layout, paper):
        assert sheet.size == (paper.width, paper.height)
        right, bottom = sheet.x + sheet.width, sheet.y + sheet.height
        for mark in sheet.marks:
            places = mark.points if isinstance(mark, Line | Area) else (mark.at,)
            for x, y in places:
                assert sheet.x - 0.2 <= x <= right + 0.2, mark
                assert sheet.y - 0.2 <= y <= bottom + 0.2, mark


def test_a_set_has_an_index_parts_and_a_row_in_detail(kits):
    sheets = draw_sheets(kits, PAPERS["A3"])
    count = len(sheets)
    assert count > 2
    assert f"sheets: 1 whole, 2 to {count - 1} parts, {count} a row in detail" in texts(sheets[0])
    for number, sheet in enumerate(sheets, start=1):
        assert f"sheet {number} of {count}" in texts(sheet)
        assert any(text.startswith("1:") and text.endswith("on A3") for text in texts(sheet))
        assert "N" in texts(sheet)
    assert "goes on: sheet 3" in texts(sheets[1])
    assert "row 1 lane" in texts(sheets[-1])


def test_each_station_is_on_one_part_and_can_be_read_there(kits):
    sheets = draw_sheets(kits, PAPERS["A3"])
    found = 0
    for sheet in sheets[1:-1]:
        mm = sheet.size[0] / sheet.width
        for mark in sheet.marks:
            if isinstance(mark, Text) and mark.layer == "stations" and mark.ink == "words":
                found += 1
                assert mark.size * mm >= 2.5
    assert found == len(kits.stations)


def test_dimensions_are_in_metres(kits):
    first = draw_sheets(kits, PAPERS["A3"])[0]
    found = [m.text for m in first.marks if isinstance(m, Text) and m.layer == "dimensions"]
    assert "108" in found
    assert str(kits.width) in found
    assert "1 cell = 1 m, dimensions in m" in texts(first)
    assert metres_text(3, Fraction(1, 2)) == "1.5"
    assert metres_text(1, Fraction(1, 3)) == "0.333"


def test_a_pdf_has_the_same_bytes_every_time_and_a_page_a_sheet():
    sheets = draw_sheets(plant(1, 6), PAPERS["A4"])
    one, other = sheets_pdf(sheets), sheets_pdf(sheets)
    assert one == other
    assert one.startswith(b"%PDF-")
    assert one.count(b"/Type /Page\n") + one.count(b"/Type/Page/") >= 0


def test_a_png_is_as_large_as_its_paper():
    sheet = draw_sheets(plant(1, 4), PAPERS["A4"])[0]
    picture = sheet_png(sheet, 50)
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", picture[16:24])
    assert abs(width - 297 / 25.4 * 50) <= 1
    assert abs(height - 210 / 25.4 * 50) <= 1
    assert picture == sheet_png(sheet, 50)


@pytest.mark.parametrize("architecture", ["loop", "pass", "plain"])
def test_views_of_a_row_hold_its_ends(architecture):
    layout = placed(
        example("check-block.yaml", rate=Fraction(15), architecture=architecture, row=12)
    )
    head, tail = detail_views(layout)
    pair = [s.box for s in layout.stations if head.y <= s.box.y < head.y + head.height]
    first, last = layout.stations[0].box, max(pair, key=lambda box: box.x)
    assert head.holds(next(iter(first.cells())))
    assert tail.holds(next(iter(last.cells())))


@given(st.integers(4, 60), st.integers(4, 40))
def test_parts_fill_the_drawing_without_overlap(wide, high):
    layout, shown = yard(), Box(0, 0, 24, 12)
    parts = tile_boxes(shown, cut_points(layout, shown, (wide, high)))
    assert sum(part.width * part.height for part in parts) == shown.width * shown.height
    assert all(part.width <= wide and part.height <= high for part in parts)
    cells = [cell for part in parts for cell in part.cells()]
    assert len(cells) == len(set(cells))


def test_cuts_go_through_aisles(kits):
    shown = Box(0, 0, kits.width, kits.height)
    _, rows = cut_points(kits, shown, (90, 50))
    assert not [s.name for s in kits.stations for y in rows if s.box.y < y < s.box.y + s.box.height]


def inside(point: tuple[float, float]) -> bool:
    left, top, right, bottom = WINDOW
    return left - 1e-6 <= point[0] <= right + 1e-6 and top - 1e-6 <= point[1] <= bottom + 1e-6


@given(st.lists(POINTS, min_size=2, max_size=6))
def test_clipped_lines_lie_inside_and_lose_nothing(points):
    line = Line(tuple(points), "thin", "t", dash=(3, 2))
    parts = list(clipped([line], WINDOW))
    assert all(inside(point) for part in parts for point in part.points)
    for point in points:
        if inside(point) and inside((point[0] * 1.01, point[1] * 1.01)):
            near = min(
                (hypot(point[0] - x, point[1] - y) for part in parts for x, y in part.points),
                default=None,
            )
            assert near is not None


@given(st.lists(POINTS, min_size=3, max_size=6))
def test_clipped_areas_lie_inside(points):
    parts = list(clipped([Area(tuple(points), "plate", "t")], WINDOW))
    assert all(inside(point) for part in parts for point in part.points)


def test_what_lies_inside_is_left_as_it_is():
    marks = layout_marks(yard())
    far = (-1e4, -1e4, 1e4, 1e4)
    assert list(clipped(marks, far)) == marks
    assert marks_text(moved(moved(marks, 5, 7), -5, -7)) == marks_text(marks)
    assert not list(clipped(marks, (1e4, 1e4, 2e4, 2e4)))


def test_the_detail_shows_all_sidings_and_docks_of_a_sorted_row() -> None:
    layout = sorted_kits(stations=12)
    head, tail = detail_views(layout)
    docks = [source.at for source in layout.sources]
    sidings = [belt.path for belt in layout.belts if "siding" in belt.name]
    assert all(head.holds(dock) for dock in docks)
    assert all(head.holds(path[-1]) and tail.holds(path[0]) for path in sidings)
    assert all(head.y <= cell.y < head.y + head.height for path in sidings for cell in path)
