"""Exact pivots against the slow twin, on small random programmes and from any basis."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from loopwright.plan.basis import refine_basis, suggest_basis
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Column, Conflict, Optimum, Programme, Row, Sense, Unbounded
from loopwright.plan.simplex import Simplex
from reference.simplex import minimise

NAMES = {Optimum: "optimal", Conflict: "infeasible", Unbounded: "unbounded"}
SENSES: tuple[Sense, ...] = ("<=", "=", ">=")


def small(seed: int) -> Programme:
    chance = random.Random(seed)
    columns, rows = chance.randint(1, 6), chance.randint(1, 6)
    entries = [
        {
            row: Fraction(value)
            for row in range(rows)
            if (value := chance.choice([0, 0, 1, -1, 2, -3, Fraction(1, 2)]))
        }
        for _ in range(columns)
    ]
    return Programme(
        "least",
        tuple(
            Row(f"r{at}", chance.choice(SENSES), Fraction(chance.randint(-4, 6)))
            for at in range(rows)
        ),
        tuple(
            Column(f"c{at}", Fraction(chance.randint(-3, 5)), line)
            for at, line in enumerate(entries)
        ),
    )


def twin(programme: Programme) -> tuple[str, Fraction | None]:
    costs = [column.cost for column in programme.columns]
    rows = [
        (
            [column.entries.get(at, Fraction(0)) for column in programme.columns],
            row.sense,
            row.rhs,
        )
        for at, row in enumerate(programme.rows)
    ]
    status, x = minimise(costs, rows)
    if status != "optimal":
        return status, None
    return status, sum((c * v for c, v in zip(costs, x, strict=True)), Fraction(0))


@pytest.mark.parametrize("block", range(8))
def test_from_any_basis_the_outcome_is_that_of_the_twin(block: int) -> None:
    for seed in range(block * 100, block * 100 + 100):
        programme = small(seed)
        chance, size = random.Random(seed), len(programme.columns) + len(programme.rows)
        basis = chance.sample(range(size), len(programme.rows))
        status, value = twin(programme)
        for start in (None, basis):
            outcome = Simplex(programme).run(start)
            assert NAMES[type(outcome)] == status, seed
            if isinstance(outcome, Optimum):
                assert outcome.value == value, seed


@pytest.mark.parametrize("block", range(4))
def test_an_unbounded_ray_keeps_all_rows_and_brings_the_cost_down(block: int) -> None:
    met = 0
    for seed in range(block * 100, block * 100 + 100):
        programme = small(seed)
        outcome = Simplex(programme).run()
        if not isinstance(outcome, Unbounded):
            continue
        met += 1
        at, along = programme.activities(outcome.x), programme.activities(outcome.ray)
        for row, here, way in zip(programme.rows, at, along, strict=True):
            assert {"=": here == row.rhs, "<=": here <= row.rhs, ">=": here >= row.rhs}[row.sense]
            assert {"=": way == 0, "<=": way <= 0, ">=": way >= 0}[row.sense]
        assert min(*outcome.x, *outcome.ray) >= 0
        costs = [column.cost for column in programme.columns]
        assert sum(c * r for c, r in zip(costs, outcome.ray, strict=True)) < 0
    assert met > 10


def test_second_costs_choose_among_equal_optima() -> None:
    one = Fraction(1)
    columns = tuple(Column(name, one, {0: one}) for name in "abc")
    programme = Programme("least", (Row("r", "=", Fraction(4)),), columns)
    for favourite in range(3):
        run = Simplex(programme)
        found = run.run()
        assert isinstance(found, Optimum)
        second = [Fraction(at != favourite) for at in range(3)]
        better = run.improve(found, second)
        assert better.x[favourite] == 4
        assert (better.value, better.y) == (found.value, found.y)


def test_refining_finds_a_basis_that_floats_cannot_tell() -> None:
    # of two ways one is cheaper by a trillionth of a unit
    one, little = Fraction(1), Fraction(1, 10**12)
    columns = (Column("a", one, {0: one}), Column("b", one - little, {0: one}))
    programme = Programme("least", (Row("r", ">=", Fraction(3)),), columns)
    run = Simplex(programme)
    short = run.attempt([0])
    assert not isinstance(short, Optimum)
    assert refine_basis(programme, [0], short) == [1]
    assert suggest_basis(programme).basis in ([0], [1])
    found = Simplex(programme).run([0])
    assert isinstance(found, Optimum)
    assert found.value == 3 - 3 * little


@pytest.mark.parametrize("block", range(4))
def test_by_way_of_the_float_solver_the_outcome_is_that_of_the_twin(
    block: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("loopwright.plan.optimum.FEW_ROWS", 0)
    for seed in range(block * 60, block * 60 + 60):
        programme = small(seed)
        status, value = twin(programme)
        outcome = solve_programme(programme)
        assert NAMES[type(outcome)] == status, seed
        if isinstance(outcome, Optimum):
            assert outcome.value == value, seed
        if isinstance(outcome, Unbounded):
            costs = [column.cost for column in programme.columns]
            assert sum(c * r for c, r in zip(costs, outcome.ray, strict=True)) < 0
