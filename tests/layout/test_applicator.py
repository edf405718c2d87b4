"""Applicators in layouts: findings, files, maps, power and drawings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.drawing.sheet import draw_layout
from loopwright.grid import Box, Cell, Heading, run_of
from loopwright.layout.check import check_layout
from loopwright.layout.document import layout_document, layout_from_document
from loopwright.layout.layout import (
    Applicator,
    Belt,
    Drain,
    Grade,
    Layout,
    Material,
    Picker,
    Port,
    Recipe,
    Source,
    Station,
)
from loopwright.layout.map import layout_map
from loopwright.layout.move import moved_layout
from loopwright.layout.power.powered import powered_devices
from loopwright.layout.read import layout_from_yaml
from loopwright.layout.write import layout_yaml
from loopwright.record import Origin

SPRAY = Applicator(
    "spray",
    Cell(4, 3),
    "lane",
    3,
    "wax",
    8,
    ("powder",),
    Fraction(1, 20),
    rate=Fraction(20),
    power=Fraction(3),
)


def sprayed_lane() -> Layout:
    """A lane from dock to drain with an applicator, which a picker feeds from a belt of its own,
    and a station that takes marked powder."""
    lane = Belt("lane", run_of(Cell(1, 2), Heading.EAST, 8), Fraction(2), "lane")
    feed = Belt("feed", run_of(Cell(1, 5), Heading.EAST, 4), Fraction(2), "supply")
    grade = Grade(Fraction(10, 9))
    return Layout(
        title="sprayed",
        width=20,
        height=12,
        cell_size=Fraction(1),
        materials=tuple(Material(name, name[0].upper(), name, 4) for name in ("powder", "wax")),
        recipes=(Recipe("press", Fraction(3), (("powder", 3),), (), grades=(grade,)),),
        belts=(feed, lane),
        sources=(
            Source("dock 1", Cell(0, 2), "lane", "powder", 4),
            Source("dock 2", Cell(0, 5), "feed", "wax", 4),
        ),
        drains=(Drain("end", Cell(9, 2), "lane"),),
        stations=(Station("m", Box(6, 4, 3, 3), "press", (("powder", 6),), 1),),
        pickers=(
            Picker("bring", Cell(4, 4), Port("feed", 3), Port("spray"), Heading.NORTH, Fraction(1)),
            Picker("in", Cell(7, 3), Port("lane", 6), Port("m"), Heading.SOUTH, Fraction(1)),
        ),
        applicators=(SPRAY,),
    )


def codes(layout: Layout) -> set[str]:
    return {finding.code for finding in check_layout(layout)}


def test_a_sound_one_has_no_finding() -> None:
    assert codes(sprayed_lane()) <= {"LW415"}  # nothing is powered here


@pytest.mark.parametrize(
    ("changes", "code", "words"),
    [
        ({"index": 8}, "LW440", "stands over cell 8 of lane, which is not there"),
        ({"belt": "way"}, "LW440", "stands over cell 3 of way"),
        ({"index": 2}, "LW440", "spray at 4,3 is no neighbour of cell 2 of lane at 3,2"),
        ({"agent": "glue"}, "LW441", "spray speaks of glue"),
        ({"materials": ("grain",)}, "LW441", "spray speaks of grain"),
        ({"agent": "powder"}, "LW442", "no picker brings powder to spray"),
        ({"materials": ("wax",)}, "LW442", "spray marks wax, and lane carries powder only"),
    ],
)
def test_nonsense_is_found(changes: dict[str, object], code: str, words: str) -> None:
    layout = replace(sprayed_lane(), applicators=(replace(SPRAY, **changes),))  # type: ignore[arg-type]
    found = [finding for finding in check_layout(layout) if finding.code == code]
    assert words in found[0].message
    assert found[0].remedy


def test_two_things_on_its_cell_are_found() -> None:
    layout = sprayed_lane()
    moved = replace(layout.pickers[1], at=SPRAY.at)
    assert "LW405" in codes(replace(layout, pickers=(layout.pickers[0], moved)))


def test_files_keep_it(tmp_path: Path) -> None:
    layout = sprayed_lane()
    assert layout_from_document(layout_document(layout)) == layout
    text = layout_yaml(layout, Origin("here"))
    assert "applicators:\n  - {name: spray" in text
    assert layout_from_yaml(text, "here.yaml") == (layout, ())
    _, findings = layout_from_yaml(text.replace("agent: wax", "agnet: wax"), "here.yaml")
    assert {finding.code for finding in findings} == {"LW111", "LW112"}
    assert all(finding.place and finding.place.line for finding in findings)


def test_it_is_on_maps_and_drawings_moves_and_draws_power() -> None:
    layout = sprayed_lane()
    assert "@" in layout_map(layout).split("key:")[0]
    assert "applicators: spray 4,3 wax" in layout_map(layout)
    assert "spray" in {device.name for device in powered_devices(layout)}
    moved = moved_layout(layout, {}, {"spray": (1, 0)})
    assert moved.applicators[0].at == Cell(5, 3)
    layers = [mark.layer for mark in draw_layout(layout).marks]
    assert layers.count("applicators") == 2
