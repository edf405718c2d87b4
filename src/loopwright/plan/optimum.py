"""Programme -> outcome: a basis from the float solver, then exact numbers only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from loopwright.plan.programme import Column, Conflict, Optimum, Outcome, Programme, Row, Unbounded

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

    suggestion = suggest_basis(programme)
    if not suggestion.optimal and (none := _conflict(programme) or _endless(programme)):
        return none
    basis = suggestion.basis
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


def _conflict(programme: Programme) -> Conflict | None:
    """The proof that no quantities keep all rows; None where some do.

    Rows that nothing at all does not keep may be missed; what is missed is kept small.
    """
    columns = [replace(column, cost=Fraction(0)) for column in programme.columns]
    for at, row in enumerate(programme.rows):
        if (row.rhs > 0 and row.sense != "<=") or (row.rhs < 0 and row.sense != ">="):
            sign = Fraction(1 if row.rhs > 0 else -1)
            columns.append(Column(f"missed {row.name}", Fraction(1), {at: sign}))
    outcome = solve_programme(Programme("least missed", programme.rows, tuple(columns)))
    if isinstance(outcome, Optimum) and outcome.value > 0:
        return Conflict(outcome.y)
    return None


def _endless(programme: Programme) -> Unbounded | None:
    """The proof that the cost falls for ever: a point, and a way from it that breaks no row.

    Both come from programmes that have an optimum, which is far quicker than to run along the way.
    """
    costs = {row: -column.cost for row, column in enumerate(programme.columns) if column.cost}
    last = len(programme.rows)
    columns = tuple(
        replace(
            column, entries={**column.entries, last: costs[at]} if at in costs else column.entries
        )
        for at, column in enumerate(programme.columns)
    )
    level = tuple(replace(row, rhs=Fraction(0)) for row in programme.rows)
    ray = solve_programme(Programme("way", (*level, Row("fall", "<=", Fraction(1))), columns))
    start = solve_programme(programme.with_costs("any", {}))
    if not isinstance(ray, Optimum) or not isinstance(start, Optimum) or ray.value >= 0:
        return None
    return Unbounded(start.x, ray.x)
