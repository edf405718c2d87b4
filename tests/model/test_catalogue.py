"""Equipment from a file of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.finding import new_finding
from loopwright.finding.finding import Place
from loopwright.model import check_project, check_text, locate_findings, starter_text

CATALOGUE = """\
equipment:
  stations:
    press: {width: 4, power: 9 kW}
    packer: {width: 20}
  belts:
    express: {speed: 6 carriers/s}
  junctions: {merge: {effort: 3}}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "catalogue.yaml").write_text(CATALOGUE)
    text = starter_text("Kits").replace("equipment:\n", "equipment:\n  use: data/catalogue.yaml\n")
    (tmp_path / "kits.yaml").write_text(text)
    return tmp_path


def test_what_the_project_says_goes_first(folder: Path) -> None:
    project, findings = check_project(folder / "kits.yaml")
    assert findings == ()
    assert project is not None
    assert list(project.equipment.stations) == ["packer", "press"]
    assert project.equipment.stations["packer"].width == 3
    assert list(project.equipment.belts) == ["belt", "express"]
    assert project.equipment.junctions.merge.effort == 3


def test_findings_name_the_file_they_are_in(folder: Path) -> None:
    (folder / "data" / "catalogue.yaml").write_text(CATALOGUE.replace("6 carriers/s", "fast"))
    _, findings = check_project(folder / "kits.yaml")
    assert [finding.place.file for finding in findings] == [str(folder / "data/catalogue.yaml")]
    assert (findings[0].place.line, findings[0].place.column) == (6, 22)


def test_a_link_out_of_the_folder_is_not_followed(folder: Path) -> None:
    inner = folder / "inner"
    inner.mkdir()
    (inner / "link.yaml").symlink_to(folder / "data" / "catalogue.yaml")
    text = starter_text("Kits").replace("equipment:\n", "equipment:\n  use: link.yaml\n")
    (inner / "kits.yaml").write_text(text)
    _, findings = check_project(inner / "kits.yaml")
    assert [finding.code for finding in findings] == ["LW120"]


def test_text_without_a_folder_has_no_catalogue(folder: Path) -> None:
    text = (folder / "kits.yaml").read_text()
    assert [finding.code for finding in check_text(text)[1]] == ["LW120"]
    assert check_text(text, folder=folder)[1] == ()


@pytest.mark.parametrize(
    ("path", "spot"),
    [
        ("demand.kit", ("kits.yaml", "  kit: 60/min", 8)),
        ("processes.pack", ("kits.yaml", "  pack:", 3)),
        ("site.docks[2].rate", ("kits.yaml", "    - {material: tap, rate: 90/min}", 29)),
        ("choices.surplus", ("kits.yaml", "choices:", 1)),
        ("choices", ("kits.yaml", "choices:", 1)),
        (
            "equipment.stations.press.power",
            ("data/catalogue.yaml", "    press: {width: 4, power: 9 kW}", 30),
        ),
    ],
)
def test_findings_of_later_stages_find_their_place(
    folder: Path, path: str, spot: tuple[str, str, int]
) -> None:
    name, line, column = spot
    finding = new_finding("LW201", "m", Place(path=path))
    (located,) = locate_findings([finding], folder / "kits.yaml")
    lines = (folder / name).read_text().splitlines()
    assert located.place.file == str(folder / name)
    assert located.place.line is not None
    assert lines[located.place.line - 1] == line
    assert located.place.column == column


def test_findings_stay_as_they_are_where_the_file_is_gone(tmp_path: Path) -> None:
    finding = new_finding("LW201", "m", Place(path="demand.kit"))
    assert locate_findings([finding], tmp_path / "none.yaml") == (finding,)
