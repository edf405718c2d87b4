"""Layout files: nothing is lost, faults are told where they stand, rows move."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.grid import Box, Cell
from loopwright.layout import check_layout
from loopwright.layout.layout import Layout, Port
from loopwright.layout.notation import (
    NotationError,
    box_text,
    cell_text,
    parse_box,
    parse_cell,
    parse_path,
    parse_port,
    path_text,
    port_text,
)
from loopwright.layout.read import layout_from_yaml, read_layout
from loopwright.layout.write import layout_yaml
from loopwright.record import Origin
from tests.drawing.plant import plant, yard
from tests.layout.design import example, placed

CELLS = st.builds(Cell, st.integers(-99, 999), st.integers(-99, 999), st.integers(0, 2))
ORIGIN = Origin("sha256:0", {"by": "test"})


def written(layout: Layout) -> str:
    return layout_yaml(layout, ORIGIN)


def again(layout: Layout) -> Layout:
    found, findings = layout_from_yaml(written(layout), "l.yaml")
    assert findings == ()
    assert found is not None
    return found


@cache
def starter() -> Layout:
    return placed(example("starter.yaml"))


@given(CELLS)
def test_cells(cell):
    assert parse_cell(cell_text(cell)) == cell


@given(*[st.integers(-99, 9999)] * 2, *[st.integers(0, 99)] * 2)
def test_boxes(x, y, width, height):
    assert parse_box(box_text(Box(x, y, width, height))) == Box(x, y, width, height)


@given(st.lists(CELLS, max_size=6))
def test_paths_of_any_cells(path):
    assert parse_path(path_text(path)) == tuple(path)


@given(CELLS, st.lists(st.tuples(*[st.integers(-1, 1)] * 3), max_size=30))
def test_paths_of_neighbours_are_written_by_their_corners(start, steps):
    path = [start]
    for dx, dy, up in steps:
        x, y, level = path[-1]
        path.append(Cell(x + dx, y + (0 if dx else dy), level + up))
    assert parse_path(path_text(path)) == tuple(path)


def test_a_straight_path_is_two_cells_long_in_text():
    assert path_text([Cell(x, 3) for x in range(2, 40)]) == "2,3 39,3"
    bridge = [Cell(1, 0), Cell(2, 0, 1), Cell(3, 0, 1), Cell(4, 0)]
    assert path_text(bridge) == "1,0 2,0,1 3,0,1 4,0"


@given(st.text(max_size=12), st.none() | st.integers(0, 9999))
def test_ports(device, index):
    assert parse_port(port_text(Port(device, index))) == Port(device, index)


@pytest.mark.parametrize("text", ["1,2 2,4", "1,2 4,2,1", "1,2 1,2", "here", "1,2 -"])
def test_paths_that_go_nowhere(text):
    with pytest.raises(NotationError):
        parse_path(text)


@pytest.mark.parametrize("layout", [yard(), plant(2, 5)], ids=["yard", "plant"])
def test_drawn_layouts_come_back(layout):
    assert again(layout) == layout


@settings(max_examples=12, deadline=None)
@given(
    st.sampled_from(["plain", "loop", "pass"]),
    st.sampled_from(["double", "single"]),
    st.integers(2, 12),
    st.integers(1, 4),
    st.sampled_from(["auto", "none", "mast"]),
    st.sampled_from(["counted", "ratio-locked", "windowed"]),
)
def test_placed_layouts_come_back(architecture, sides, row, aisle, node, gate):
    project = example(
        "check-block.yaml",
        rate=Fraction(4),
        architecture=architecture,
        sides=sides,
        row=row,
        aisle=aisle,
        power_node=node,
        gate=gate,
    )
    layout = placed(project)
    assert again(layout) == layout


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
def test_names_of_any_kind_come_back(name):
    layout = starter()
    renamed = replace(layout.stations[0], name=name, row=name)
    odd = replace(layout, title=name, stations=(renamed, *layout.stations[1:]))
    assert again(odd) == odd


def test_the_file_says_what_it_is_and_shows_the_picture():
    text = written(starter())
    assert text.startswith('kind: "layout"\nversion: 1\norigin: {"software": "loopwright"')
    assert "# 11 ........|1||2||3|" in text
    assert text == written(starter())


def test_rows_and_devices_move():
    layout = starter()
    moves = 'moves:\n  row 1: "0,3"\n  power 1: "-1,0"\n'
    moved, findings = layout_from_yaml(written(layout) + moves, "l.yaml")
    assert findings == ()
    assert moved is not None
    assert moved.stations[0].box.y == layout.stations[0].box.y + 3
    assert moved.belts[0].path[0].y == layout.belts[0].path[0].y + 3
    assert moved.power_nodes[0].at.x == layout.power_nodes[0].at.x - 1
    assert moved.power_nodes[1].at == layout.power_nodes[1].at
    assert {f.code for f in check_layout(moved)} <= {"LW405", "LW415", "LW416", "LW417"}


@pytest.mark.parametrize(
    ("old", "new", "code", "line", "column"),
    [
        ("version: 1", "version: 7", "LW113", 2, 10),
        ('kind: "layout"', "kind: run", "LW113", 1, 7),
        ("width: 80", "widht: 80", "LW111", None, 1),
        ("width: 80", "width: wide", "LW110", None, 8),
        ("facing: south", "facing: down", "LW110", None, None),
        ("swing: 1/2", "swing: 1/0", "LW110", None, None),
        ('path: "8,8 31,8"', 'path: "8,8 31,9"', "LW110", None, 30),
        ('box: "8,10 3x3"', 'box: "8,10"', "LW110", None, None),
        ("  - {name: kit, ", "  - {", "LW112", None, 5),
        ("belts:\n", "belts: none\nmore:\n", "LW110", None, None),
        ("obstacles:\n", "obstacles: [\n", "LW104", None, None),
    ],
)
def test_faults_are_told_where_they_stand(old, new, code, line, column):
    text = written(starter())
    assert old in text
    layout, findings = layout_from_yaml(text.replace(old, new), "l.yaml")
    assert layout is None
    found = [finding for finding in findings if finding.code == code]
    assert found
    place = found[0].place
    assert place.file == "l.yaml"
    assert place.line is not None
    assert line in (None, place.line)
    assert column in (None, place.column)


def test_moves_of_nothing_are_told():
    text = written(starter()) + 'moves:\n  row 9: "0,1"\n'
    layout, findings = layout_from_yaml(text, "l.yaml")
    assert layout is None
    assert [finding.code for finding in findings] == ["LW432"]


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_no_text_breaks_the_reader(data):
    text = written(yard())
    at = data.draw(st.integers(0, len(text)))
    length = data.draw(st.integers(0, 30))
    layout, findings = layout_from_yaml(
        text[:at] + data.draw(st.text(max_size=8)) + text[at + length :], "l.yaml"
    )
    assert (layout is None) == bool(findings)


def test_no_file(tmp_path):
    layout, findings = read_layout(tmp_path / "none.yaml")
    assert layout is None
    assert [finding.code for finding in findings] == ["LW101"]
