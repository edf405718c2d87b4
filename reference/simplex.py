"""Slow, plain linear programming: the tableau of fractions, two phases, Bland's rule.

    minimise   costs . x
    with       coefficients . x  (<=, = or >=)  rhs   for every row, and x >= 0

Every row gets an artificial variable, the first phase drives their sum to 0, the second brings
the cost down. Of all columns that help the first enters, of all rows that bind the one whose
variable comes first leaves: so no tableau comes back, and it ends (R. G. Bland, New finite pivoting
rules for the simplex method, Mathematics of Operations Research 2(2), 1977, 103-107).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

Row = tuple[Sequence[Fraction | int], str, Fraction | int]


def minimise(
    costs: Sequence[Fraction | int], rows: Sequence[Row]
) -> tuple[str, tuple[Fraction, ...]]:
    """What came out (optimal, infeasible or unbounded) and, where optimal, the x."""
    size = len(costs)
    slacks = sum(sense != "=" for _, sense, _ in rows)
    width = size + slacks + len(rows)
    tableau, basis, slack = [], [], size
    for index, (coefficients, sense, rhs) in enumerate(rows):
        line = [Fraction(entry) for entry in coefficients] + [Fraction(0)] * (width - size)
        if sense != "=":
            line[slack] = Fraction(1 if sense == "<=" else -1)
            slack += 1
        line.append(Fraction(rhs))
        if line[-1] < 0:
            line = [-entry for entry in line]
        line[size + slacks + index] = Fraction(1)
        tableau.append(line)
        basis.append(size + slacks + index)
    artificial = [Fraction(0)] * (size + slacks) + [Fraction(1)] * len(rows)
    descend(tableau, basis, artificial, width)
    if sum(line[-1] for line, at in zip(tableau, basis, strict=True) if at >= size + slacks) > 0:
        return "infeasible", ()
    for index, line in enumerate(tableau):
        if basis[index] >= size + slacks:
            free = [column for column in range(size + slacks) if line[column]]
            if free:
                pivot(tableau, basis, index, free[0])
    padded = [Fraction(cost) for cost in costs] + [Fraction(0)] * (width - size)
    if not descend(tableau, basis, padded, size + slacks):
        return "unbounded", ()
    found = dict(zip(basis, (line[-1] for line in tableau), strict=True))
    return "optimal", tuple(found.get(column, Fraction(0)) for column in range(size))


def descend(
    tableau: list[list[Fraction]], basis: list[int], costs: list[Fraction], columns: int
) -> bool:
    """Pivot until no column below `columns` brings the cost down; False where it falls for ever."""
    while True:
        entering = None
        for column in range(columns):
            price = sum(
                (costs[at] * line[column] for at, line in zip(basis, tableau, strict=True)),
                Fraction(0),
            )
            if costs[column] < price:
                entering = column
                break
        if entering is None:
            return True
        bound = [
            (line[-1] / line[entering], basis[index], index)
            for index, line in enumerate(tableau)
            if line[entering] > 0
        ]
        if not bound:
            return False
        pivot(tableau, basis, min(bound)[2], entering)


def pivot(tableau: list[list[Fraction]], basis: list[int], row: int, column: int) -> None:
    """Let the variable of `column` take the place of that of `row`."""
    head = tableau[row][column]
    tableau[row] = [entry / head for entry in tableau[row]]
    for index, line in enumerate(tableau):
        factor = line[column]
        if index != row and factor:
            tableau[index] = [
                entry - factor * lead for entry, lead in zip(line, tableau[row], strict=True)
            ]
    basis[row] = column
