"""`loopwright layout`."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

from loopwright.layout import layout_from_document
from tests.cli.typed import type_in
from tests.repository.repository import ROOT


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


def test_power_is_told_with_its_bound(starter: Path) -> None:
    typed = type_in("layout", starter)
    assert "power nodes" in typed.out
    assert "nodes reach all, the fewest there can be" in typed.out


def test_belts_are_told_with_their_bound(starter: Path) -> None:
    told = re.search(
        r"Belts: (\d+) cells.* has fewer than (\d+) cells", type_in("layout", starter).out
    )
    assert told is not None
    assert 0 < int(told[2]) <= int(told[1])


def test_sheets_pictures_and_dxf_are_written(starter: Path) -> None:
    paths = [starter.with_name(f"floor.{form}") for form in ("pdf", "png", "dxf")]
    options = [word for path in paths for word in (f"--{path.suffix[1:]}", path)]
    typed = type_in("layout", starter, *options, "--paper", "A4")
    assert typed.code == 0
    assert "sheets A4 written" in typed.out
    heads = [path.read_bytes()[:8] for path in paths]
    assert heads[0].startswith(b"%PDF")
    assert heads[1] == b"\x89PNG\r\n\x1a\n"
    assert heads[2].strip().startswith(b"0")


def test_a_moved_row_is_written_checked_and_run(starter: Path) -> None:
    chart, moved = starter.with_name("map.txt"), starter.with_name("moved.yaml")
    text = type_in("layout", starter).out
    assert "rows: row 1 8,10" in text
    chart.write_text(text.replace("row 1 8,10", "row 1 9,13"), "utf-8")
    typed = type_in("layout", starter, "--edit", chart, "--yaml", moved)
    assert typed.code == 0
    assert "Layout written to" in typed.out
    shown = type_in("layout", starter, "--layout", moved)
    assert "rows: row 1 9,13" in shown.out
    run = type_in("simulate", starter, "--layout", moved, "--scenario", "steady")
    assert run.code == 0
    assert "100 %" in run.out


def test_a_map_that_is_not_understood_is_bad_input(starter: Path) -> None:
    chart = starter.with_name("map.txt")
    text = type_in("layout", starter).out.replace("rows: row 1 ", "rows: row 7 ")
    chart.write_text(text, "utf-8")
    typed = type_in("layout", starter, "--edit", chart)
    assert typed.code == 2
    assert "LW432" in typed.err
    assert "did you mean 'row 1'?" in typed.err


def test_a_layout_file_with_faults_is_bad_input(starter: Path) -> None:
    file = starter.with_name("layout.yaml")
    assert type_in("layout", starter, "--yaml", file).code == 0
    file.write_text(file.read_text("utf-8").replace("width: 80", "width: wide"), "utf-8")
    typed = type_in("layout", starter, "--layout", file)
    assert typed.code == 2
    assert "LW110" in typed.err
    apart = file.read_text("utf-8").replace("width: wide", "width: 20")
    file.write_text(apart, "utf-8")
    typed = type_in("simulate", starter, "--layout", file)
    assert typed.code == 1
    assert "LW404" in typed.err


def test_what_primes_the_mixers_is_told(tmp_path: Path) -> None:
    """3:2:2 feeds back: as many carriers as the lane has cells fill it before any leaves."""
    text = (ROOT / "examples" / "filter-kits.yaml").read_text("utf-8")
    for old, new in (
        ("stack: 2}", "stack: 1}"),
        ("stack: 4", "stack: 1"),
        ("{candle: 2, seal: 3, tap: 1}", "{candle: 3, seal: 2, tap: 2}"),
        ("kit: 648/min", "kit: 18/min"),
        ("row: 36 ", "row: 6 "),
        ("gate: windowed", "mix: mixer"),
    ):
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "mixed.yaml"
    path.write_text(text, "utf-8")
    typed = type_in("layout", path)
    assert typed.code == 0
    assert "1 mixer feeds back: 27 carriers prime that lane before any leaves" in typed.out
