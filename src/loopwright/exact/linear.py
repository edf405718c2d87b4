"""Square systems of linear equations over the rationals."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction


class SingularError(ValueError):
    """The equations do not have exactly one solution."""


def solve(
    matrix: Sequence[Sequence[Fraction | int]], rhs: Sequence[Fraction | int]
) -> tuple[Fraction, ...]:
    """The x with `matrix` x = `rhs`, exactly, by Gaussian elimination.

    Raises
    ------
    SingularError
        The matrix is singular.
    ValueError
        The matrix is not square or does not fit `rhs`.
    """
    size = len(rhs)
    if len(matrix) != size or any(len(row) != size for row in matrix):
        raise ValueError("the matrix must be square, with one right-hand side a row")
    rows = [
        [Fraction(entry) for entry in (*row, value)] for row, value in zip(matrix, rhs, strict=True)
    ]
    for column in range(size):
        _eliminate(rows, column)
    return tuple(row[size] for row in rows)


def _eliminate(rows: list[list[Fraction]], column: int) -> None:
    """Make `column` of all rows zero, except for a one on the diagonal."""
    pivot = next((index for index in range(column, len(rows)) if rows[index][column]), None)
    if pivot is None:
        raise SingularError(f"no pivot in column {column}: the equations are dependent")
    rows[column], rows[pivot] = rows[pivot], rows[column]
    head = rows[column][column]
    rows[column] = [entry / head for entry in rows[column]]
    for index, row in enumerate(rows):
        factor = row[column]
        if index != column and factor:
            rows[index] = [
                entry - factor * lead for entry, lead in zip(row, rows[column], strict=True)
            ]
