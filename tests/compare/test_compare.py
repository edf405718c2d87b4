"""Designs side by side: the same whatever the processes, and the best are the best."""

from __future__ import annotations

import csv
from dataclasses import replace
from fractions import Fraction
from io import StringIO

import pytest

from loopwright.compare import (
    Comparison,
    compare_designs,
    study_of,
    usual_variants,
    varied,
)
from loopwright.compare.comparison import HEADS, MEASURES, is_sound
from loopwright.compare.design import Figures, Outcome
from loopwright.compare.price import Price
from loopwright.compare.study import Axis, Study, Variant
from loopwright.finding import DesignError
from loopwright.model import Project, read_project
from loopwright.model.edit import EditError
from tests.layout.design import EXAMPLES
from tests.report.design import PROJECT

STARTER = EXAMPLES / "starter.yaml"
TEXT = STARTER.read_text()
SMALL = Project.model_validate(PROJECT)


def test_a_project_is_held_against_its_other_architectures() -> None:
    variants = list(usual_variants(SMALL))
    told = [one.told for one in variants]
    assert told[0] == "as it is"
    assert len(set(told)) == len(told)
    assert "architecture: plain, sides: single" in told
    for one in variants[1:]:
        choices = one.project.choices
        assert one.told == f"architecture: {choices.architecture}, sides: {choices.sides}"


def test_all_combinations_are_made_in_order() -> None:
    axes = (
        Axis(("choices", "gate"), ("open", "windowed")),
        Axis(("choices", "surplus"), ("0.1", "0.2")),
    )
    designs = list(varied(TEXT, axes))
    assert [one.told for one in designs] == [
        "gate: open, surplus: 0.1",
        "gate: open, surplus: 0.2",
        "gate: windowed, surplus: 0.1",
        "gate: windowed, surplus: 0.2",
    ]
    assert [one.project.choices.surplus for one in designs[:2]] == [
        Fraction(1, 10),
        Fraction(1, 5),
    ]
    study = study_of(designs)
    assert [one.letter for one in study.variants] == ["A", "B", "C", "D"]


def test_a_wrong_value_is_told_as_in_any_project() -> None:
    with pytest.raises(DesignError) as caught:
        list(varied(TEXT, (Axis(("choices", "gate"), ("oepn",)),)))
    assert "open" in str(caught.value.findings[0])


def test_what_stands_nowhere_cannot_vary() -> None:
    with pytest.raises(EditError):
        list(varied(TEXT, (Axis(("equipment", "belts", "nowhere", "speed"), ("1/s",)),)))


def test_outcomes_do_not_depend_on_the_processes() -> None:
    study = study_of(list(usual_variants(SMALL))[:2])
    shares: list[float] = []
    shared = compare_designs(study, jobs=2, progress=shares.append)
    assert shared == compare_designs(study, jobs=1)
    assert shares[-1] == 1
    assert shared.whole


def test_figures_are_those_of_the_layout_and_its_runs() -> None:
    (outcome,) = compare_designs(study_of([Variant("as it is", SMALL)])).outcomes
    figures = outcome.figures
    assert figures is not None
    assert figures.target == 1
    assert is_sound(figures)
    assert figures.price.stations == 4
    assert figures.price.pickers == 8 if figures.safe else figures.price.pickers > 8
    assert figures.share(figures.made) >= Fraction(99, 100)


def test_a_design_that_cannot_be_built_says_why() -> None:
    site = SMALL.site.model_copy(update={"width": 12, "height": 6})
    outcomes = compare_designs(
        study_of([Variant("small", SMALL.model_copy(update={"site": site}))])
    )
    (outcome,) = outcomes.outcomes
    assert outcome.figures is None
    assert outcome.refusal
    assert any(outcome.refusal in sentence for sentence in outcomes.sentences())
    assert not outcomes.sound


def test_an_open_gate_is_named_with_its_jam() -> None:
    axes = (Axis(("choices", "gate"), ("windowed", "open")),)
    found = compare_designs(
        study_of(varied((EXAMPLES / "filter-kits.yaml").read_text(), axes)), jobs=1
    )
    assert [one.variant.letter for one in found.sound] == ["A"]
    told = "\n".join(found.sentences())
    assert "B: a loop stands for good after an outage of" in told
    assert found.table()[1][HEADS.index("after outage")] == "jams"


def _outcome(letter: str, effort: int, floor: int, made: Fraction = Fraction(1)) -> Outcome:
    price = Price(1, 2, 0, 1, 9, 0, 2, floor, Fraction(effort), Fraction(0), made, Fraction(0))
    figures = Figures(price, Fraction(1), made, made, made, "lid", (), "proved", "proved")
    return Outcome(Variant(letter, SMALL, letter=letter), figures)


def test_the_front_is_what_no_other_beats() -> None:
    places = [(3, 3), (1, 9), (2, 5), (2, 4), (5, 1), (9, 9), (4, 3), (2, 4)]
    outcomes = [_outcome(str(number), *place) for number, place in enumerate(places)]
    outcomes.append(_outcome("short", 1, 1, Fraction(9, 10)))
    study = Study(tuple(one.variant for one in outcomes))
    front = Comparison(study, tuple(outcomes)).front("effort", "floor")

    def beaten(x: int, y: int) -> bool:
        return any((a <= x and b <= y) and (a < x or b < y) for a, b in places)

    expected = {str(n) for n, place in enumerate(places) if not beaten(*place)}
    assert {one.variant.letter for one in front} == expected
    with pytest.raises(KeyError):
        Comparison(study, tuple(outcomes)).front("effort", "charm")


def test_tables_hold_every_design_exactly() -> None:
    good, bad = _outcome("A", 7, 8), Outcome(Variant("b", SMALL, letter="B"), None, "no room")
    found = Comparison(Study((good.variant, bad.variant)), (good, bad))
    rows = list(csv.DictReader(StringIO(found.csv())))
    assert [row["letter"] for row in rows] == ["A", "B"]
    assert (rows[0]["effort"], rows[0]["floor"], rows[1]["refusal"]) == ("7", "8", "no room")
    assert all(len(row) == len(HEADS) for row in found.table())
    assert found.document()["designs"][0]["figures"]["price"]["effort"] == "7"
    assert found.document()["designs"][1]["figures"] is None
    part = replace(found, outcomes=(good,))
    assert not part.whole
    assert next(iter(part.sentences())) == "Interrupted: 1 of 2 designs were finished."


def test_every_measure_is_one_of_the_figures() -> None:
    figures = _outcome("A", 7, 8).figures
    assert figures is not None
    assert {name: measure(figures) for name, measure in MEASURES.items()}["floor"] == 8


def test_the_starter_reads() -> None:
    (only,) = varied(TEXT, ())
    assert (only.told, only.project) == ("as it is", read_project(STARTER))
