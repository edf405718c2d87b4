"""Project -> tables -> project: nothing is lost, nothing is rounded."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.exact import format_quantity
from loopwright.model import Project, check_text, read_project
from loopwright.model.table import KINDS, import_tables
from loopwright.model.table.imported import Imported, finish
from loopwright.model.table.read import Reading
from tests.model.table.tables_of import tables_of

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.yaml"))


def take(tables: dict[str, str], project: Project) -> Imported:
    reading = Reading()
    for kind, text in tables.items():
        reading.add_text(text, f"{kind}.csv", kind)
    demand = [(key, format_quantity(rate, "units/s")) for key, rate in project.demand.items()]
    return finish(reading, project.project.name, demand)


def tabled(project: Project) -> dict[str, Any]:
    """What tables can hold of a project."""
    document = project.document()
    kept = {key: document[key] for key in ("materials", "processes", "demand")}
    equipment = {part: document["equipment"][part] for part in ("stations", "belts", "pickers")}
    return {**kept, "equipment": equipment, "name": project.project.name}


def judge(tables: dict[str, str], project: Project) -> None:
    found = take(tables, project)
    assert found.kind == "project"
    assert found.project is not None
    assert found.text is not None
    assert tabled(found.project) == tabled(project)
    assert list(found.project.materials) == list(project.materials)
    again, findings = check_text(found.text)
    assert again == found.project
    assert {finding.code for finding in findings} <= {"LW154"}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize(("delimiter", "comma"), [(",", False), (";", True), ("\t", False)])
def test_examples_come_back_as_they_were(path: Path, delimiter: str, comma: bool) -> None:
    project = read_project(path)
    judge(tables_of(project, delimiter, comma), project)


NAMES = st.from_regex(r"[A-Za-z][A-Za-z0-9_-]{0,8}", fullmatch=True).filter(
    lambda name: name.lower() != "auto"
)
TITLES = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), max_size=20)
TITLES = TITLES.map(lambda text: text.strip()).filter(str.isprintable)
NUMBERS = st.fractions(Fraction(1, 999), 1000, max_denominator=999)

CHOSEN = st.booleans()


@st.composite
def projects(draw: st.DrawFn) -> Project:
    materials = draw(st.lists(NAMES, min_size=2, max_size=6, unique=True))
    stations = draw(st.lists(NAMES, min_size=1, max_size=3, unique=True))
    amounts = st.dictionaries(st.sampled_from(materials), st.integers(1, 99), max_size=3)
    processes = {
        name: {
            "title": draw(TITLES),
            "station": draw(st.sampled_from(stations)),
            "cycle": draw(NUMBERS),
            "inputs": (inputs := draw(amounts)),
            "caps": {m: n + draw(st.integers(0, 9)) for m, n in inputs.items() if draw(CHOSEN)},
            "outputs": draw(amounts) | {materials[0]: 1},
            "yield": draw(NUMBERS),
        }
        for name in draw(st.lists(NAMES, min_size=1, max_size=4, unique=True))
    }
    return Project.model_validate(
        {
            "project": {"format": 1, "name": draw(TITLES.filter(bool))},
            "materials": {
                name: {"title": draw(TITLES), "stack": draw(st.integers(1, 8))}
                for name in materials
            },
            "processes": processes,
            "equipment": {
                "stations": {
                    name: {"power": draw(NUMBERS), "limit": draw(st.none() | st.integers(1, 99))}
                    for name in stations
                },
                "belts": {"band": {"speed": draw(NUMBERS)}},
                "pickers": {"arm": {"swing": draw(NUMBERS), "hand": draw(st.integers(1, 8))}},
            },
            "demand": {materials[0]: draw(NUMBERS)},
        }
    )  # fmt: skip


@given(projects(), st.sampled_from([(",", False), (";", True), ("\t", True)]))
def test_any_project_comes_back_as_it_was(project: Project, form: tuple[str, bool]) -> None:
    judge(tables_of(project, *form), project)


SEPARATE = """name,station,cycle [s]
fire,kiln,60
pack,packer,4.5
"""
AMOUNTS = """process;side;material;amount
fire;input;clay;8
fire;output;candle;16
pack;inputs;candle;2
pack;outputs;kit;1
"""


def test_amounts_may_stand_in_a_table_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text(SEPARATE, "utf-8")
    (tmp_path / "b.csv").write_text(AMOUNTS, "utf-8")
    found = import_tables([tmp_path / "b.csv", tmp_path / "a.csv"])
    assert found.text is not None
    assert "fire: {station: kiln, cycle: 60 s, inputs: {clay: 8}, outputs: {candle: 16}}" in (
        found.text
    )
    assert "pack: {station: packer, cycle: 4.5 s" in found.text


def test_equipment_alone_gives_a_catalogue_that_projects_can_use(tmp_path: Path) -> None:
    (tmp_path / "stations.csv").write_text("name,power [kW]\npacker,2\n", "utf-8")
    found = import_tables([tmp_path / "stations.csv"])
    assert (found.kind, found.findings) == ("catalogue", ())
    assert found.text is not None
    assert "\nequipment:\n  stations:\n    packer: {power: 2 kW}\n" in found.text


def test_every_column_of_every_kind_is_described() -> None:
    page = (Path(__file__).parents[3] / "docs" / "files" / "tables.md").read_text("utf-8")
    for kind in KINDS.values():
        section = page.partition(f"\n## {kind.word}\n")[2].partition("\n## ")[0]
        rows = [line.split("|")[1].strip(" `") for line in section.splitlines() if "| `" in line]
        assert rows == list(kind.columns), kind.word
