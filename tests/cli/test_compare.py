"""`loopwright compare`."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

from tests.cli.typed import type_in
from tests.layout.design import EXAMPLES

KITS = EXAMPLES / "filter-kits.yaml"


def test_people_read_a_row_a_design_and_what_it_comes_to(tmp_path: Path) -> None:
    picture, rows = tmp_path / "d.svg", tmp_path / "d.csv"
    asked = ("--vary", "gate=windowed,scarcest-first", "--svg", picture, "--csv", rows)
    typed = type_in("compare", KITS, *asked, "--jobs", "1")
    assert typed.code == 0
    assert "A  gate: windowed" in typed.out
    assert "come back from every outage: A, B." in typed.out
    assert ElementTree.fromstring(picture.read_text()).tag.endswith("svg")
    assert rows.read_text().startswith("letter,design,refusal")


def test_programs_get_exact_numbers() -> None:
    typed = type_in("compare", KITS, "--vary", "gate=open", "--jobs", "1", "--json")
    assert typed.code == 1
    assert typed.document["kind"] == "comparison"
    assert typed.document["origin"]["parameters"]["vary"] == ["gate=open"]
    (design,) = typed.document["designs"]
    assert not design["sound"]
    assert design["figures"]["jams"] == ["candle", "seal", "tap"]


def test_several_files_are_told_apart_by_name(tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    other.write_text(KITS.read_text())
    typed = type_in("compare", KITS, other, "--jobs", "1")
    assert typed.code == 0
    assert "A  filter-kits.yaml" in typed.out
    assert "B  other.yaml" in typed.out


def test_bad_words_are_told_with_what_is_wanted(tmp_path: Path) -> None:
    for asked in ("gate", "gate=", "=open", "gate=open,,windowed", "gaet=open", "gate=oepn"):
        typed = type_in("compare", KITS, "--vary", asked)
        assert typed.code == 2, asked
        assert "Traceback" not in typed.err
    missing = type_in("compare", tmp_path / "none.yaml")
    assert missing.code == 2


def test_a_picture_shows_two_measures() -> None:
    typed = type_in("compare", KITS, "--x", "floor")
    assert typed.code == 2
    assert "two measures" in typed.err


def test_a_study_may_be_too_large() -> None:
    values = ",".join(map(str, range(1, 202)))
    typed = type_in("compare", KITS, "--vary", f"row={values}")
    assert typed.code == 2
    assert "201 designs are too many" in typed.err
