"""Drawings of whole layouts: complete, well-formed, the same every time, small and quick."""

from __future__ import annotations

import re
import time
import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.drawing import Sheet, draw_layout, layout_marks, sheet_svg
from loopwright.drawing.frame import shown_box
from loopwright.drawing.mark import Area, Line, Symbol, Text, marks_text
from loopwright.drawing.palette import THEMES
from loopwright.grid import Box, Cell, Heading
from loopwright.layout.footprint import occupied_cells
from loopwright.layout.layout import Belt, Layout, Material, Picker, Port, Station
from tests.drawing.plant import plant, yard

GOLDEN = Path(__file__).parent / "golden"
SVG = "{http://www.w3.org/2000/svg}"


def device_names(layout: Layout) -> set[str]:
    kinds = (
        layout.belts,
        layout.sources,
        layout.drains,
        layout.merges,
        layout.side_merges,
        layout.diverts,
        layout.gates,
        layout.stations,
        layout.stores,
        layout.pickers,
    )
    return {device.name for kind in kinds for device in kind}


def tooltips(svg: str) -> set[str]:
    root = ET.fromstring(svg)
    return {title.text or "" for title in root.iter(f"{SVG}title")}


def test_marks_of_the_yard_are_as_recorded() -> None:
    comp = marks_text(layout_marks(yard()))
    ref = (GOLDEN / "yard-marks.txt").read_text("utf-8")
    assert comp == ref


@pytest.mark.parametrize("layout", [yard(), plant(1, 4)], ids=["yard", "plant"])
@pytest.mark.parametrize("theme", THEMES)
def test_every_device_is_named_in_well_formed_xml(layout: Layout, theme: str) -> None:
    told = tooltips(sheet_svg(draw_layout(layout, theme=theme)))
    named = {text.split(": ")[0] for text in told}
    assert device_names(layout) <= named


def test_groups_are_named_by_kind_and_row_and_ids_are_unique() -> None:
    root = ET.fromstring(sheet_svg(draw_layout(plant(1, 4))))
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    wanted = {"lw-belts", "lw-stations", "lw-stations-row-1", "lw-stations-row-2", "lw-pickers"}
    assert wanted | {"lw-gates", "lw-diverts", "lw-bridges", "lw-docks", "lw-legend"} <= set(ids)


def test_every_reference_within_the_file_has_its_goal() -> None:
    svg = sheet_svg(draw_layout(yard()), prefix="lw7")
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(re.findall(r'id="([^"]+)"', svg))
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")


def test_a_second_drawing_has_the_same_bytes() -> None:
    assert sheet_svg(draw_layout(yard())) == sheet_svg(draw_layout(yard()))


HOSTILE = '</title><script>alert("1")</script> & \x00\x0b\ud800 ]]> \'"'


def test_hostile_names_stay_text() -> None:
    layout = plant(1, 2)
    named = tuple(replace(s, name=HOSTILE + s.name, row=HOSTILE) for s in layout.stations)
    goods = tuple(replace(m, title=HOSTILE, letter="<") for m in layout.materials)
    bad = replace(layout, title=HOSTILE, stations=named, materials=goods)
    svg = sheet_svg(draw_layout(bad, title_lines=(HOSTILE,)))
    root = ET.fromstring(svg.encode())
    assert "script" not in {element.tag.removeprefix(SVG) for element in root.iter()}
    assert any(text.startswith("</title><script>") for text in tooltips(svg))


def test_640_stations_stay_small_and_quick() -> None:
    layout = plant(5, 64)
    assert len(layout.stations) == 640
    start = time.process_time()
    svg = sheet_svg(draw_layout(layout))
    assert time.process_time() - start < 1
    assert len(svg.encode()) < 1_500_000


def test_row_names_and_station_numbers_have_readable_sizes() -> None:
    sheet = draw_layout(plant(5, 64))
    rows = [m for m in sheet.marks if isinstance(m, Text) and m.layer == "rows"]
    assert {m.text for m in rows} == {f"row {n}" for n in range(1, 11)}
    on_screen = 1800 / sheet.width
    assert min(m.size for m in rows) * on_screen > 11
    numbers = [m for m in sheet.marks if isinstance(m, Text) and m.layer == "stations"]
    assert {"1", "64"} <= {m.text for m in numbers}


def test_all_marks_lie_on_the_page() -> None:
    for layout in (yard(), plant(2, 5)):
        sheet = draw_layout(layout)
        for mark in sheet.marks:
            spots = mark.points if isinstance(mark, Line | Area) else (mark.at,)
            for x, y in spots:
                assert sheet.x <= x <= sheet.x + sheet.width
                assert sheet.y <= y <= sheet.y + sheet.height


def test_mixed_lane_shows_the_sequence_of_its_materials() -> None:
    bands = [
        mark
        for mark in layout_marks(plant(1, 4))
        if isinstance(mark, Line) and mark.tooltip.startswith("lane 1:")
    ]
    assert [mark.ink for mark in bands] == ["band1", "band2", "band3"]
    assert {mark.dash for mark in bands} == {(20, 40)}
    assert len({mark.offset for mark in bands}) == 3


def test_letters_stand_at_both_ends_of_a_lane() -> None:
    lane = next(belt for belt in plant(1, 8).belts if belt.name == "lane 1")
    plates = [
        mark.at[0] / 10
        for mark in layout_marks(plant(1, 8))
        if isinstance(mark, Text) and mark.text == "ABC" and mark.at[1] == lane.path[0].y * 10 + 5
    ]
    assert min(plates) < lane.path[4].x
    assert max(plates) > lane.path[-5].x


def test_arrows_stand_at_ends_and_turns() -> None:
    path = (*(Cell(x, 1) for x in range(1, 6)), *(Cell(5, y) for y in range(2, 7)))
    belt = Belt("b", path, Fraction(1), "supply")
    layout = Layout("t", 10, 10, Fraction(1), (), (), belts=(belt,))
    arrows = [m for m in layout_marks(layout) if isinstance(m, Symbol) and m.shape == "arrow"]
    assert [(m.at, m.angle) for m in arrows] == [((15, 15), 0), ((55, 15), 90), ((55, 65), 90)]


def test_an_arrow_at_a_merge_points_into_it() -> None:
    arrows = [
        mark
        for mark in layout_marks(plant(1, 4))
        if isinstance(mark, Symbol) and mark.shape == "arrow" and mark.at == (415, 35)
    ]
    assert [mark.angle for mark in arrows] == [270]


def test_picker_has_its_dot_at_the_putting_end() -> None:
    marks = [m for m in layout_marks(yard()) if isinstance(m, Line) and m.layer == "pickers"]
    into = next(mark for mark in marks if mark.tooltip.startswith("in 1"))
    assert into.end == "dot"
    assert into.points == ((115, 35), (115, 52))


def test_gate_has_a_notch_for_each_fresh_inlet() -> None:
    gate = next(m for m in layout_marks(plant(1, 4)) if isinstance(m, Area) and m.ink == "gate")
    assert len(gate.points) == 4 + 3 * 3


def test_bridge_lies_over_what_it_crosses() -> None:
    order = [mark.layer for mark in layout_marks(yard())]
    assert order.index("bridges") > max(i for i, layer in enumerate(order) if layer == "belts")


def test_only_the_built_part_of_a_large_site_is_drawn() -> None:
    layout = replace(yard(), width=300, height=200)
    assert shown_box(layout, occupied_cells(layout)) == Box(0, 0, 28, 16)
    assert any(mark.layer == "key plan" for mark in draw_layout(layout).marks)
    assert not any(mark.layer == "key plan" for mark in draw_layout(yard()).marks)


def test_scale_fits_the_page() -> None:
    sheet = draw_layout(plant(5, 64))
    assert sheet.unit == "mm"
    assert sheet.size[0] <= 420
    assert sheet.size[1] <= 297
    assert any(isinstance(m, Text) and m.text == "1:1000 on A3" for m in sheet.marks)


def test_empty_and_broken_layouts_are_drawn_all_the_same() -> None:
    empty = Layout("", 0, 0, Fraction(1), (), ())
    lone = Belt("lone", (Cell(3, 3),), Fraction(1), "lane")
    none = Belt("none", (), Fraction(1), "lane")
    torn = Belt("torn", (Cell(0, 0), Cell(9, 9)), Fraction(1), "lane")
    port = Port("nothing", 7)
    picker = Picker("p", Cell(40, -3), port, port, Heading.WEST, Fraction(1))
    station = Station("s", Box(3, 3, 1, 1), "no recipe", (), 1)
    broken = replace(empty, belts=(lone, none, torn), pickers=(picker,), stations=(station,))
    for layout in (empty, broken):
        ET.fromstring(sheet_svg(draw_layout(layout)))


def test_many_materials_keep_their_own_look() -> None:
    goods = tuple(Material(f"m{i}", chr(65 + i), f"Part {i}", 1) for i in range(20))
    layout = replace(yard(), materials=(*yard().materials, *goods))
    svg = sheet_svg(draw_layout(layout))
    tiles = dict(re.findall(r'<pattern id="lw-(hatch\d+)".*?>(.*?)</pattern>', svg))
    fills = dict(re.findall(r"\.swatch(\d+)\{fill:([^;}]+)", svg.partition("@media")[0]))
    looks = [tiles[fill[8:-1]] if fill.startswith("url") else fill for fill in fills.values()]
    assert len(looks) == len(set(looks)) == 23


def test_unknown_theme_is_refused() -> None:
    with pytest.raises(ValueError, match="sepia"):
        draw_layout(yard(), theme="sepia")


def test_sheet_is_frozen() -> None:
    sheet = draw_layout(yard())
    assert isinstance(sheet, Sheet)
    with pytest.raises(AttributeError):
        sheet.title = "other"  # type: ignore[misc]
