"""Exact solutions of square systems."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.exact import SingularError, solve

ENTRIES = st.builds(Fraction, st.integers(-20, 20), st.integers(1, 7))


@st.composite
def systems(draw: st.DrawFn) -> tuple[list[list[Fraction]], list[Fraction]]:
    size = draw(st.integers(1, 5))
    row = st.lists(ENTRIES, min_size=size, max_size=size)
    return draw(st.lists(row, min_size=size, max_size=size)), draw(row)


def test_a_system_that_needs_another_order_of_rows() -> None:
    assert solve([[0, 2], [3, 1]], [4, 5]) == (1, 2)


def test_no_equation_at_all() -> None:
    assert solve([], []) == ()


@given(systems())
def test_the_solution_solves_the_equations(
    system: tuple[list[list[Fraction]], list[Fraction]],
) -> None:
    matrix, rhs = system
    try:
        found = solve(matrix, rhs)
    except SingularError:
        return
    for row, value in zip(matrix, rhs, strict=True):
        assert sum(a * x for a, x in zip(row, found, strict=True)) == value


@given(systems())
def test_dependent_rows_are_singular(system: tuple[list[list[Fraction]], list[Fraction]]) -> None:
    matrix, rhs = system
    total = [sum(column, Fraction(0)) for column in zip(*matrix, strict=True)]
    size = len(rhs)
    wide = [[*row, Fraction(0)] for row in matrix]
    with pytest.raises(SingularError):
        solve([*wide, [*total, Fraction(0)]], [*rhs, Fraction(1)])
    assert size == len(matrix)


@pytest.mark.parametrize(("matrix", "rhs"), [([[1, 2]], [1]), ([[1], [2]], [1]), ([[1]], [1, 2])])
def test_only_square_systems_are_taken(matrix: list[list[int]], rhs: list[int]) -> None:
    with pytest.raises(ValueError, match="square"):
        solve(matrix, rhs)
