"""What a project knows once it is read."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from pydantic import ValidationError

from loopwright.model import Project, Scenario, check_text, read_project

EXAMPLES = Path(__file__).parents[2] / "examples"
MADE_OF_PARTS = """\
project: {format: 1, name: Parts}
materials: {sheet: {}, tube: {}, frame: {}, scrap: {}, kit: {letter: F}}
processes:
  bend: {station: press, cycle: 0.1 s, inputs: {sheet: 1}, outputs: {tube: 2, scrap: 1}}
  weld: {station: press, cycle: 1 s, inputs: {tube: 3}, outputs: {frame: 1, scrap: 1}}
  pack: {station: bench, cycle: 2 min, inputs: {frame: 1}, outputs: {kit: 1}, yield: 1.1}
equipment:
  stations: {press: {limit: 7}, bench: {limit: none, speed: 2}}
  belts: {belt: {speed: 450 cells/min}}
  pickers: {arm: {swing: 250 ms, hand: 2, habit: grab}}
demand: {kit: 1/h}
choices: {row: 12, surplus: 0.05}
scenarios: {short: {span: 60 s}}
"""


@pytest.fixture
def project() -> Project:
    found, findings = check_text(MADE_OF_PARTS)
    assert findings == ()
    assert found is not None
    return found


def test_the_check_block_is_read_exactly() -> None:
    block = read_project(EXAMPLES / "check-block.yaml")
    pack = block.processes["pack"]
    assert pack.cycle == Fraction(16, 3)
    assert pack.batch_yield == Fraction(5, 4)
    assert block.demand == {"kit": Fraction(150)}
    assert block.demand["kit"] * pack.cycle / pack.batch_yield == 640
    belt = block.equipment.belts["belt"]
    lane = belt.speed * pack.cycle / sum(Fraction(n, 4) for n in pack.inputs.values())
    assert lane == 71 + Fraction(1, 9)


def test_decimals_are_never_rounded(project: Project) -> None:
    assert project.processes["pack"].batch_yield == Fraction(11, 10)
    assert project.processes["bend"].cycle == Fraction(1, 10)
    assert project.choices.surplus == Fraction(1, 20)


def test_units_become_base_units(project: Project) -> None:
    assert project.equipment.belts["belt"].speed == Fraction(15, 2)
    assert project.equipment.pickers["arm"].swing == Fraction(1, 4)
    assert project.demand["kit"] == Fraction(1, 3600)


def test_makers_and_supplies(project: Project) -> None:
    assert project.makers("scrap") == ("bend", "weld")
    assert project.makers("sheet") == ()
    assert [name for name in project.materials if project.is_made(name)] == [
        "tube",
        "frame",
        "scrap",
        "kit",
    ]
    assert project.station_of("pack").speed == 2
    with pytest.raises(KeyError):
        project.is_made("glue")


def test_what_is_left_out_has_a_default(project: Project) -> None:
    assert project.materials["sheet"].title == "sheet"
    assert project.equipment.stations["press"].limit == 7
    assert project.equipment.stations["bench"].limit is None
    assert project.equipment.junctions.bridge.span == 4
    assert project.site.width == 400
    assert project.choices.row == 12
    assert project.choices.belt == "auto"


def test_letters_are_all_different_and_given_ones_stay(project: Project) -> None:
    assert project.letters == {"sheet": "S", "tube": "T", "frame": "R", "scrap": "C", "kit": "F"}


@pytest.mark.parametrize(
    ("span", "warm_up", "width"), [(60, 12, 1), (600, 120, 5), (7200, 120, 60), (100, 20, 1)]
)
def test_warm_up_and_bin_follow_the_span(span: int, warm_up: int, width: int) -> None:
    scenario = Scenario.model_validate({"span": f"{span} s"})
    assert (scenario.warm_up, scenario.bin) == (warm_up, width)


def test_what_was_not_given_follows_another_span() -> None:
    given = Scenario.model_validate({"span": "60 s", "warm_up": "5 s", "seed": 4})
    longer = given.of_span(Fraction(7200))
    assert (longer.span, longer.warm_up, longer.bin, longer.seed) == (7200, 5, 60, 4)
    assert Scenario.model_validate({}).of_span(Fraction(60)).warm_up == 12


def test_a_warm_up_may_be_left_to_be_found() -> None:
    assert Scenario.model_validate({"warm_up": "auto"}).warm_up == "auto"
    text = MADE_OF_PARTS[: MADE_OF_PARTS.index("scenarios")]
    found, findings = check_text(text + "scenarios: {long: {span: 1 h, warm_up: auto}}\n")
    assert found is not None, findings
    assert found.scenarios["long"].warm_up == "auto"


def test_one_scenario_is_there_without_being_asked_for() -> None:
    text = MADE_OF_PARTS[: MADE_OF_PARTS.index("scenarios")]
    found, _ = check_text(text)
    assert found is not None
    assert list(found.scenarios) == ["steady"]


def test_a_project_is_frozen(project: Project) -> None:
    with pytest.raises(ValidationError):
        project.site = project.site  # type: ignore[misc]


def test_the_document_reads_back_to_the_same_project(project: Project) -> None:
    assert Project.model_validate(project.document()) == project
    block = read_project(EXAMPLES / "check-block.yaml")
    assert Project.model_validate(block.document()) == block


def test_binary_floats_are_refused_from_python_too(project: Project) -> None:
    document = project.document()
    document["processes"]["pack"]["yield"] = 1.1
    with pytest.raises(ValidationError, match="binary float"):
        Project.model_validate(document)
