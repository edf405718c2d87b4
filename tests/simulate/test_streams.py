"""Random streams: known answers, laws that have their mean, devices that do not disturb others."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import log
from statistics import fmean, pvariance

import pytest

from loopwright.simulate import draw
from loopwright.simulate.disturbance import Disturbances, Failure, Law, Missed, Pace
from reference import chance
from tests.engines import Document, Engine
from tests.layouts.build import Build


@pytest.mark.parametrize(
    ("counter", "key", "words"),
    [
        ("00000000 00000000 00000000 00000000", "00000000 00000000", "6627e8d5 e169c58d bc57ac4c"),
        ("ffffffff ffffffff ffffffff ffffffff", "ffffffff ffffffff", "408f276d 41c83b0e a20bc7c6"),
        ("243f6a88 85a308d3 13198a2e 03707344", "a4093822 299f31d0", "d16cfe09 94fdcceb 5001e420"),
    ],
)
def test_philox_gives_the_known_answers_of_its_authors(counter: str, key: str, words: str) -> None:
    """Philox 4x32-10 in the list of known answers beside the paper of Salmon and others (2011)."""
    numbers = tuple(int(word, 16) for word in counter.split())
    first, second = (int(word, 16) for word in key.split())
    found = chance.philox(numbers, (first, second))
    assert found[:3] == tuple(int(word, 16) for word in words.split())


def test_both_programs_draw_the_same() -> None:
    for number in (0, 1, 2**32 - 1, 2**32, 2**40 + 7):
        ours = draw.draw(12345, draw.stream("cycle", "row 1 station 2"), number)
        assert ours == chance.draw(12345, "cycle", "row 1 station 2", number)


def test_the_curve_of_both_programs_is_the_logarithm() -> None:
    ours = draw.curve()
    assert ours == tuple(chance.curve(step) for step in range(1025))
    assert all(abs(c / 2**20 + log(1 - j / 2048)) < 2**-20 for j, c in enumerate(ours))


MEAN = Fraction(1000)
LAWS = [
    (Law("fixed"), 1000, 0),
    (Law("uniform", Fraction(1, 5)), 1000, 401**2 / 12),
    (Law("exponential"), 1000, 1e6),
    (Law("geometric"), 1000, 1000 * 999),
    (Law("empirical", values=(Fraction(10), Fraction(40))), 25, 225),
]


@pytest.mark.parametrize(("law", "mean", "variance"), LAWS, ids=lambda x: getattr(x, "kind", ""))
def test_laws_have_their_mean_and_variance(law: Law, mean: float, variance: float) -> None:
    """40,000 draws: the mean within 4 standard errors, the variance within 5 %."""
    table = draw.table("m", law, MEAN, Fraction(1))
    name = draw.stream("test", law.kind)
    times = [draw.ticks(table, draw.draw(1, name, number)) for number in range(40_000)]
    assert abs(fmean(times) - mean) <= 4 * (variance / len(times)) ** 0.5
    assert abs(pvariance(times) - variance) <= 0.05 * variance


@pytest.mark.parametrize("mean", [Fraction(1, 2), Fraction(1), Fraction(7, 3), Fraction(2**27)])
@pytest.mark.parametrize("kind", ["fixed", "uniform", "exponential", "geometric"])
def test_both_programs_turn_draws_into_the_same_times(kind: str, mean: Fraction) -> None:
    law, told = Law(kind, Fraction(1, 3)), {"kind": kind, "spread": "1/3", "values": []}
    table = draw.table("m", law, mean, Fraction(1))
    name = draw.stream("life", "m")
    for number in range(300):
        expected = chance.ticks(told, mean, Fraction(1), chance.draw(7, "life", "m", number))
        assert draw.ticks(table, draw.draw(7, name, number)) == expected
    for words in [(0, 0), (2**32 - 1, 2**32 - 1), (0, 2**32 - 1), (2**31, 0)]:
        assert draw.ticks(table, words) == chance.ticks(told, mean, Fraction(1), words)


def plant(*more: str) -> Build:
    """Lines of a source, a station and a drain that have nothing to do with each other."""
    build = Build("AB")
    for name in ("x", *more):
        build.belt(f"{name} in", 3)
        build.source(f"{name} in", "A")
        build.belt(f"{name} out", 3)
        build.drain(f"{name} out")
        build.station(f"{name} m", 3, {"A": 1}, {"B": 1})
        build.picker(f"{name} p", (f"{name} in", 2), f"{name} m")
        build.picker(f"{name} q", f"{name} m", (f"{name} out", 0))
    return build


def wild(*names: str) -> Disturbances:
    """Cycles, failures and misses by chance on each line."""
    return Disturbances(
        paces=tuple(Pace(f"{name} m", Law("exponential")) for name in names),
        failures=tuple(Failure(f"{name} m", Fraction(40), Fraction(9)) for name in names),
        missed=tuple(Missed(f"{name} p", Fraction(1, 4)) for name in names),
    )


def of_x(state: Document) -> list[Document]:
    """What the state says of line x."""
    return [
        {name: value for name, value in kind.items() if name.startswith("x ")}
        for kind in (state["belts"], state["stations"], state["pickers"])
    ]


def test_other_devices_change_nothing(engine: Engine) -> None:
    alone = engine.run(plant().layout(), 700, (), None, wild("x"), 5)
    beside = engine.run(plant("a", "z").layout(), 700, (), None, wild("z", "x", "a"), 5)
    assert of_x(alone) == of_x(beside)


def test_the_order_of_disturbances_changes_nothing(engine: Engine) -> None:
    layout, told = plant("a", "z").layout(), wild("a", "x", "z")
    turned = replace(told, paces=told.paces[::-1], failures=told.failures[::-1])
    ends = [engine.run(layout, 500, (), None, one, 5) for one in (told, turned)]
    assert ends[0] == ends[1]


def test_another_seed_is_another_run(engine: Engine) -> None:
    ends = [engine.run(plant().layout(), 500, (), None, wild("x"), seed) for seed in (1, 2)]
    assert of_x(ends[0]) != of_x(ends[1])
