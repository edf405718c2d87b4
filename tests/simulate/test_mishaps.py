"""Mishaps of a project, as disturbances of its layout; ticks too fine to run at."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.finding import DesignError
from loopwright.model.mishap import Mishaps
from loopwright.simulate import simulate_layout
from loopwright.simulate.mishap import disturbances_of
from loopwright.simulate.scenario import Scenario
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each

PLAN = Scenario("a minute", "empty", Fraction(60), Fraction(0), Fraction(10))


def test_kinds_become_devices() -> None:
    layout = one_of_each()
    first = replace(layout.stations[0], recipe="make")
    recipes = (*layout.recipes, replace(layout.recipes[0], name="make"))
    layout = replace(layout, stations=(first, *layout.stations[1:]), recipes=recipes)
    told = Mishaps.model_validate(
        {
            "missed_picks": Fraction(1, 50),
            "cycles": {"kind": "uniform", "spread": Fraction(1, 10)},
            "failures": [{"process": "make", "up": 60, "down": 5}, {"up": 90, "down": 9}],
            "arrivals": [{"material": "B", "law": {"kind": "exponential"}, "queue": None}],
            "supplies": [{"material": "A", "at": 30, "factor": Fraction(1, 2)}],
            "slow": [{"belt": "lane 1", "cell": 3, "every": 2}],
        }
    )
    found = disturbances_of(told, layout)
    assert len(found.missed) == len(layout.pickers)
    assert [pace.law.kind for pace in found.paces] == ["uniform"] * len(layout.stations)
    assert [failure.up for failure in found.failures] == [60, 90, 90, 90]
    docks = {source.name: source for source in layout.sources}
    assert all(docks[entry.source].material == "B" for entry in found.arrivals)
    assert all(entry.rate == docks[entry.source].rate / 2 for entry in found.supplies)
    assert found.slow[0].index == 3


@pytest.mark.parametrize(
    ("slow", "words"),
    [
        ({"belt": "lane l"}, "names the belt lane l"),
        ({"belt": "lane 1", "cell": 11}, "a cell that lane 1 does not have"),
    ],
)
def test_a_place_that_is_not_there_is_a_finding(slow: dict[str, object], words: str) -> None:
    with pytest.raises(DesignError, match=words):
        disturbances_of(Mishaps.model_validate({"slow": [slow]}), one_of_each())


def test_a_tick_too_fine_names_the_times_that_make_it_so() -> None:
    build = Build("A")
    build.belt("x", 3)
    build.source("x")
    build.store("box", 9)
    build.picker("p", ("x", 1), "box", Fraction(1, 7))
    build.picker("q", ("x", 1), "box", Fraction(1, 997))
    with pytest.raises(DesignError, match="1/6979 s: swing 1/7 s, swing 1/997 s"):
        simulate_layout(build.layout(), PLAN)
