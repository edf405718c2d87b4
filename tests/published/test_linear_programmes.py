"""Textbook programmes with known optima, each with its source; all from memory, recomputed by hand
or by the slow twin.

- Wyndor Glass: Hillier and Lieberman, Introduction to Operations Research, ch. 3 and 4.
- Klee and Minty, How good is the simplex algorithm?, Inequalities III, 1972 (n = 3 with powers
  of ten).
- Beale, Cycling in the dual simplex algorithm, Naval Research Logistics Quarterly 2, 1955, in the
  form that makes the steepest-column rule cycle.
- Marshall and Suurballe, A note on cycling in the simplex method, 1969 (also in Chvatal, Linear
  Programming, ch. 3).
- Kuhn's example of cycling, as in Balinski and Tucker, Duality theory of linear programs, 1969.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.plan.certificate import certificate_text
from loopwright.plan.checker import check_certificate
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Optimum
from loopwright.plan.simplex import Simplex
from loopwright.plan.study import Proof
from loopwright.record import Origin
from reference.simplex import minimise
from tests.plan.programmes import Listed, exact, point, programme

HALF = Fraction(1, 2)
WYNDOR = Listed([-3, -5], [[1, 0], [0, 2], [3, 2]], [4, 12, 18])
KLEE_MINTY = Listed([-100, -10, -1], [[1, 0, 0], [20, 1, 0], [200, 20, 1]], [1, 100, 10000])
BEALE = Listed(
    [Fraction(-3, 4), 20, -HALF, 6],
    [[Fraction(1, 4), -8, -1, 9], [HALF, -12, -HALF, 3], [0, 0, 1, 0]],
    [0, 0, 1],
)
MARSHALL = Listed(
    [-10, 57, 9, 24],
    [["0.5", "-5.5", "-2.5", 9], ["0.5", "-1.5", "-0.5", 1], [1, 0, 0, 0]],
    [0, 0, 1],
)
KUHN = Listed(
    [-2, -3, 1, 12],
    [[-2, -9, 1, 9], [Fraction(1, 3), 1, Fraction(-1, 3), -2], [2, 3, -1, -12]],
    [0, 0, 2],
)
CASES = {
    "Wyndor": (WYNDOR, -36, [2, 6]),
    "Klee-Minty": (KLEE_MINTY, -10000, [0, 0, 10000]),
    "Beale": (BEALE, Fraction(-5, 4), [1, 0, 1, 0]),
    "Marshall-Suurballe": (MARSHALL, -1, [1, 0, 1, 0]),
    "Kuhn": (KUHN, -2, [2, 0, 2, 0]),
}


def proved(listed: Listed) -> tuple[Optimum, list[Fraction]]:
    """The optimum, with a certificate that holds, and the x."""
    made, parts, starts = programme(listed)
    found = solve_programme(made)
    assert isinstance(found, Optimum)
    text = certificate_text([Proof(made, found)], Origin("sha256:0"))
    assert check_certificate(text) == (("optimal", found.value),)
    return found, point(found, parts, starts)


@pytest.mark.parametrize("name", CASES)
def test_optimum_is_exact_and_proved(name: str) -> None:
    listed, least, x = CASES[name]
    found, at = proved(listed)
    assert found.value == least
    assert at == x


@pytest.mark.parametrize("name", CASES)
def test_the_slow_twin_agrees(name: str) -> None:
    listed, least, x = CASES[name]
    rows = [
        ([exact(v) for v in line], "<=", exact(b))
        for line, b in zip(listed.a_ub, listed.b_ub, strict=True)
    ]
    costs = [exact(c) for c in listed.c]
    status, at = minimise(costs, rows)
    assert status == "optimal"
    assert sum(c * v for c, v in zip(costs, at, strict=True)) == least
    assert list(at) == x


def test_shadow_prices_of_wyndor() -> None:
    found, _ = proved(WYNDOR)
    assert [-price for price in found.y] == [0, Fraction(3, 2), 1]


@pytest.mark.parametrize("name", CASES)
def test_every_basis_leads_to_the_optimum(name: str) -> None:
    """Also those from which neither quantities nor prices hold, and those that are none."""
    from itertools import combinations

    listed, least, _ = CASES[name]
    made, _, _ = programme(listed)
    for basis in combinations(range(len(made.columns) + len(made.rows)), len(made.rows)):
        found = Simplex(made).run(basis)
        assert isinstance(found, Optimum)
        assert found.value == least
