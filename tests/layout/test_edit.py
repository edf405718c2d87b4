"""Edited text maps: rows and devices move, everything else stays, faults are told."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.finding import Severity
from loopwright.grid import Box
from loopwright.layout import check_layout, layout_map
from loopwright.layout.edit import edited_layout
from loopwright.layout.layout import Layout
from loopwright.layout.move import linked, moved_layout, row_corners, rows_of
from loopwright.layout.power.place import with_power
from loopwright.model import Project
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.drawing.plant import plant, yard
from tests.layout.design import example, placed


@cache
def project() -> Project:
    return example("check-block.yaml", rate=Fraction(4), architecture="loop", row=6)


@cache
def layout() -> Layout:
    return placed(project())


def edited(base: Layout, *changes: tuple[str, str]) -> tuple[Layout, list[str]]:
    text = layout_map(base)
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    moved, findings = edited_layout(base, text, "map.txt")
    for finding in findings:
        assert finding.place.line is not None
        assert finding.place.column is not None
        assert finding.remedy
    return moved, [finding.code for finding in findings]


@pytest.mark.parametrize("base", [yard(), plant(1, 4)], ids=["yard", "plant"])
def test_a_map_as_printed_changes_nothing(base):
    assert edited(base) == (base, [])


@settings(max_examples=10, deadline=None)
@given(
    st.sampled_from(["plain", "loop", "pass"]), st.sampled_from(["double", "single"]),
    st.integers(2, 9),
)  # fmt: skip
def test_maps_of_placed_layouts_change_nothing(architecture, sides, row):
    base = placed(
        example(
            "check-block.yaml", rate=Fraction(4), architecture=architecture, sides=sides, row=row
        )
    )
    assert edited(base) == (base, [])
    part = layout_map(base, Box(5, 3, 30, 12))
    assert edited_layout(base, part, "map.txt") == (base, ())


def corner(row: str) -> str:
    cell = row_corners(layout())[row]
    return f"{row} {cell.x},{cell.y}"


def test_a_moved_pair_of_rows_runs_as_before():
    rows = row_corners(layout())
    last = max(row_corners(layout()), key=lambda row: rows[row].y)
    pair = [row for row in rows if rows[row].y >= rows[last].y - 8]
    changes = []
    for row in pair:
        x, y, _ = rows[row]
        changes.append((corner(row), f"{row} {x + 2},{y + 3}"))
    moved, codes = edited(layout(), *changes)
    assert codes == []
    assert len({s.box for s in moved.stations} - {s.box for s in layout().stations}) > 0
    moved = with_power(replace(moved, power_nodes=(), power_links=()), project())
    assert check_layout(moved) == ()
    plan = Scenario("short", "primed", Fraction(60), Fraction(10), Fraction(10))
    before, after = (simulate_layout(each, plan) for each in (layout(), moved))
    assert before.end.counters.drains == after.end.counters.drains


def test_half_a_pair_is_told_by_the_checks():
    rows = row_corners(layout())
    x, y, _ = rows["row 1"]
    moved, codes = edited(layout(), (corner("row 1"), f"row 1 {x + 1},{y}"))
    assert codes == []
    faults = {f.code for f in check_layout(moved) if f.severity is Severity.ERROR}
    assert "LW413" in faults


def test_a_single_device_moves_by_its_own_place():
    node = layout().power_nodes[0]
    old = f"{node.name} {node.at.x},{node.at.y} "
    moved, codes = edited(layout(), (old, f"{node.name} {node.at.x + 1},{node.at.y} "))
    assert codes == []
    assert moved.power_nodes[0].at.x == node.at.x + 1
    assert moved.power_nodes[1:] == layout().power_nodes[1:]
    assert moved == linked(moved)


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("rows: row 1 ", "rows: row 11 ", "LW432"),
        ("rows: row 1 ", "rows: row 1 at ", "LW432"),
        ("; row 2 ", "; row 2", "LW432"),
        ("pickers: ", "pikers: ", "LW431"),
        ("rows: row 1 8,", "rows: row 1 8;", "LW431"),
    ],
)
def test_what_is_not_understood_is_told(old, new, code):
    _, codes = edited(layout(), (old, new))
    assert code in codes


def test_a_belt_cannot_be_bent_in_the_map():
    belt = layout().belts[0]
    head = belt.path[-1]
    old = f"to {head.x},{head.y}"
    _, codes = edited(layout(), (old, f"to {head.x + 1},{head.y}"))
    assert "LW431" in codes


def test_a_changed_picture_is_told_once_with_its_place():
    lines = layout_map(layout()).splitlines()
    at = next(n for n, line in enumerate(lines) if "+-+" in line)
    lines[at] = lines[at].replace("+-+", "...", 1)
    moved, (finding,) = edited_layout(layout(), "\n".join(lines), "map.txt")
    assert moved == layout()
    assert finding.code == "LW433"
    assert finding.place.line == at + 1
    assert lines[at][finding.place.column - 1 :].startswith("...")


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_no_text_breaks_the_reader(data):
    text = layout_map(yard())
    at = data.draw(st.integers(0, len(text)))
    cut = at + data.draw(st.integers(0, 20))
    edited_layout(yard(), text[:at] + data.draw(st.text(max_size=6)) + text[cut:], "map.txt")


def test_devices_of_two_rows_move_with_both():
    rows = {"row 1": 0, "row 2": 0, "row": 0}
    assert rows_of("row 1 row 2 output", rows) == ("row 1", "row 2")
    assert rows_of("row 12 lane", {"row 1": 0}) == ()
    moved = moved_layout(layout(), {"row 1": (0, 1), "row 2": (0, 1)}, {})
    shared = next(n for n, b in enumerate(layout().belts) if b.name == "row 1 row 2 output")
    assert moved.belts[shared].path[0].y == layout().belts[shared].path[0].y + 1
    alone = moved_layout(layout(), {"row 1": (0, 1)}, {})
    assert alone.belts[shared] == layout().belts[shared]
