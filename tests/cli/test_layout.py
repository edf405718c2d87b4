"""`loopwright layout`."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

from loopwright.layout import layout_from_document
from tests.cli.typed import type_in


def test_people_see_counts_and_a_map(starter: Path) -> None:
    typed = type_in("layout", starter)
    assert typed.code == 0
    assert "stations" in typed.out
    assert "key: > v < ^ belt" in typed.out


def test_the_document_holds_the_layout(starter: Path) -> None:
    document = type_in("layout", starter, "--json").document
    assert document["kind"] == "layout"
    assert len(layout_from_document(document["layout"]).stations) == 8


def test_the_drawing_is_written_and_nothing_else_with_json(starter: Path) -> None:
    drawing = starter.with_name("floor.svg")
    typed = type_in("layout", starter, "--svg", drawing, "--theme", "dark", "--json")
    assert typed.code == 0
    assert typed.document["kind"] == "layout"
    assert ET.parse(drawing).getroot().tag.endswith("svg")


def test_a_folder_that_is_not_there_is_bad_input(starter: Path) -> None:
    typed = type_in("layout", starter, "--svg", starter.parent / "none" / "floor.svg")
    assert typed.code == 2
    assert "none" in typed.err
    assert "Traceback" not in typed.err


def test_a_site_too_small_is_an_error_of_the_design(starter: Path) -> None:
    lines = starter.read_text("utf-8").splitlines()
    start = lines.index("site:")
    end = next(i for i in range(start + 1, len(lines)) if lines[i] and lines[i][0].isalpha())
    small = starter.with_name("small.yaml")
    site = "site: {width: 12, height: 12}"
    small.write_text("\n".join([*lines[:start], site, *lines[end:]]), "utf-8")
    typed = type_in("layout", small)
    assert typed.code == 1
    assert "LW401" in typed.err
