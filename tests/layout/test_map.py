"""Text maps of layouts."""

from __future__ import annotations

import time
from dataclasses import replace
from fractions import Fraction

from loopwright.grid import Box, Cell, Heading
from loopwright.layout.layout import Belt, Layout, Picker, Port
from loopwright.layout.map import layout_map
from tests.drawing.plant import plant, yard

YARD = """\
Yard
   0         10        20
   012345678901234567890123
 0 ....B................###
 1 ....v.v<<<<<<<<<<<<<.###
 2 ....".v............^....
 3 A>>>">G>>>>>>>>>>>>J....
 4 ....".^....,..,.........
 5 ..>>">^...+-+.%%........
 6 B>^.v.....|1|.%%........
 7 ....v.....+-+...>>>>>v..
 8 ....v......,....^....v..
 9 ....v.....>>>S>>D>>>>M>O
10 ....v........^..........
11 ....O........P..........
"""


def picture(text: str) -> list[str]:
    """The lines of cells, without rulers and legend."""
    return text.split("\n\n")[0].splitlines()[3:]


def test_the_yard() -> None:
    assert layout_map(yard()).startswith(YARD)


def test_legend_names_every_device() -> None:
    layout = yard()
    text = layout_map(layout)
    devices = [
        *layout.belts,
        *layout.sources,
        *layout.drains,
        *layout.merges,
        *layout.side_merges,
        *layout.diverts,
        *layout.gates,
        *layout.stations,
        *layout.stores,
        *layout.pickers,
    ]
    legend = text.split("\n\n")[1]
    assert [d.name for d in devices if d.name not in legend] == []
    assert "stations: welder 1 10,5" in legend
    assert "lane (lane) 7,3 to 18,3" in legend
    assert "side merges: S1 13,9 into made" in legend


def test_a_part_of_the_site_has_its_own_ruler_and_legend() -> None:
    text = layout_map(yard(), Box(9, 4, 8, 5))
    assert text.splitlines()[:8] == [
        "Yard",
        "   10",
        "  90123456",
        "4 ..,..,..",
        "5 .+-+.%%.",
        "6 .|1|.%%.",
        "7 .+-+...>",
        "8 ..,....^",
    ]
    assert "welder 1" in text
    assert "dock plates" not in text


def test_a_box_cut_off_by_the_part_says_where_it_begins() -> None:
    assert "welder 1 11,6 (from 10,5)" in layout_map(yard(), Box(11, 6, 4, 4))


def test_corner_cells_show_the_heading_out() -> None:
    path = (Cell(0, 0), Cell(1, 0), Cell(1, 1), Cell(0, 1))
    belt = Belt("b", path, Fraction(1), "supply")
    layout = Layout("t", 2, 2, Fraction(1), (), (), belts=(belt,))
    assert picture(layout_map(layout)) == ["0 >v", "1 <<"]


def test_a_head_points_into_its_merge_and_its_gate() -> None:
    rows = picture(layout_map(plant(1, 4)))
    assert rows[3][3:].endswith("^......")
    assert rows[2][3 + 24 : 3 + 28] == ">>G<"


def test_pickers_show_where_they_put() -> None:
    port = Port("nothing")
    pickers = tuple(
        Picker(f"p{i}", Cell(i, 0), port, port, heading, Fraction(1))
        for i, heading in enumerate((Heading.NORTH, Heading.SOUTH, Heading.WEST, Heading.EAST))
    )
    layout = Layout("t", 4, 1, Fraction(1), (), (), pickers=pickers)
    assert picture(layout_map(layout)) == ["0 ',()"]


def test_a_clash_is_shown_and_told() -> None:
    belt = Belt("stray", (Cell(11, 6), Cell(12, 6)), Fraction(1), "lane")
    text = layout_map(replace(yard(), belts=(*yard().belts, belt)))
    assert "6 B>^.v.....|!!" in text
    assert "two things in one place: 11,6: stray and welder 1; 12,6: stray and welder 1" in text
    assert "two things in one place:" not in layout_map(yard())


def test_what_stands_outside_of_the_site_is_shown() -> None:
    belt = Belt("out", (Cell(-2, -1), Cell(-1, -1)), Fraction(1), "lane")
    layout = Layout("t", 2, 1, Fraction(1), (), (), belts=(belt,))
    assert layout_map(layout).splitlines()[1:5] == ["     0", "   2101", "-1 >>..", " 0 ...."]


def test_names_with_control_characters_keep_to_their_line() -> None:
    belt = Belt("a\nb\x1b[31m", (Cell(0, 0),), Fraction(1), "lane")
    text = layout_map(Layout("t\n", 1, 1, Fraction(1), (), (), belts=(belt,)))
    assert "a?b?[31m" in text
    assert "\x1b" not in text


def test_an_empty_layout_and_an_empty_part() -> None:
    assert picture(layout_map(Layout("", 0, 0, Fraction(1), (), ()))) == ["0 ."]
    assert "key:" in layout_map(yard(), Box(0, 0, 0, 0))


def test_640_stations_are_quick() -> None:
    layout = plant(5, 64)
    start = time.process_time()
    text = layout_map(layout)
    assert time.process_time() - start < 1
    assert "row 10 station 64" in text
