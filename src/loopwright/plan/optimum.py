"""Programme -> outcome: a basis from the float solver, then exact numbers only."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from loopwright.plan.programme import Optimum, Outcome, Programme

if TYPE_CHECKING:
    from loopwright.plan.simplex import Simplex

FEW_ROWS = 60
"""Programmes of at most so many rows are solved in exact numbers from the start."""

MANY_ROWS = 400
"""Prices of what is not there are not looked for in larger programmes."""

MOST_ROUNDS = 4
"""Times that a basis is refined before exact pivots take over."""


def solve_programme(
    programme: Programme, second: Sequence[Fraction] = (), needs: Sequence[int] = ()
) -> Outcome:
    """The exact outcome of `programme`.

    Of several optima one that is least in `second`, by column; of several prices for the rows
    `needs`, where nothing goes through, those that one more would cost (not for programmes of more
    than `MANY_ROWS`: there they are the least that it would cost).
    """
    from loopwright.plan.simplex import Simplex

    run = Simplex(programme)
    outcome = _solved(run, programme)
    if second and isinstance(outcome, Optimum):
        outcome = run.improve(outcome, second)
    if needs and isinstance(outcome, Optimum) and len(programme.rows) <= MANY_ROWS:
        outcome = run.raise_prices(outcome, needs)
    return outcome


def _solved(run: Simplex, programme: Programme) -> Outcome:
    if len(programme.rows) <= FEW_ROWS:
        return run.run()
    from loopwright.plan.basis import refine_basis, suggest_basis
    from loopwright.plan.factor import SingularBasisError

    basis = suggest_basis(programme)
    for _ in range(MOST_ROUNDS):
        if basis is None:
            break
        try:
            found = run.attempt(basis)
        except SingularBasisError:
            return run.run()
        if isinstance(found, Optimum):
            return found
        better = refine_basis(programme, basis, found)
        if better is None or set(better) == set(basis):
            break
        basis = better
    return run.run(basis)
