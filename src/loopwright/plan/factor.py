"""Exact equations with the matrix of a basis, taken apart first.

A basis of a process network is nearly triangular: wherever an equation or an unknown stands alone,
it is solved by itself. Only the core that is left, where processes feed each other, is a dense
matrix, solved by lifting modulo a prime (J. D. Dixon, Exact solution of linear equations using
p-adic expansions, Numerische Mathematik 40, 1982, 137-141; in FLINT).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import lcm
from typing import Any

from flint import fmpq, fmpz_mat

Line = Mapping[int, fmpq]
"""Entries of one column by row."""


class SingularBasisError(ValueError):
    """The columns of a basis depend on each other."""


class Factor:
    """Square matrix of the columns `lines`, ready to solve with it and with its transpose."""

    def __init__(self, lines: Sequence[Line]) -> None:
        self.lines = lines
        self._back: list[tuple[int, int]] = []
        self._front: list[tuple[int, int]] = []
        size = len(lines)
        holders: list[set[int]] = [set() for _ in range(size)]
        for column, line in enumerate(lines):
            for row in line:
                holders[row].add(column)
        rows_of = [set(line) for line in lines]
        self._peel_columns(holders, rows_of)
        self._peel_rows(holders, rows_of)
        done_rows = {row for row, _ in (*self._back, *self._front)}
        done_columns = {column for _, column in (*self._back, *self._front)}
        self.core_rows = [row for row in range(size) if row not in done_rows]
        self.core_columns = [column for column in range(size) if column not in done_columns]
        self._core = _Core(self.core_rows, [lines[column] for column in self.core_columns])

    def _peel_columns(self, holders: list[set[int]], rows_of: list[set[int]]) -> None:
        """Columns with one open row: that row gives their value once all others are known."""
        ready = [column for column, rows in enumerate(rows_of) if len(rows) == 1]
        while ready:
            column = ready.pop()
            if len(rows_of[column]) != 1:
                continue
            (row,) = rows_of[column]
            self._back.append((row, column))
            for other in holders[row]:
                rows_of[other].discard(row)
                if len(rows_of[other]) == 1:
                    ready.append(other)
            holders[row] = set()

    def _peel_rows(self, holders: list[set[int]], rows_of: list[set[int]]) -> None:
        """Rows with one open column: they give its value before all others."""
        done = {column for _, column in self._back}
        for columns in holders:
            columns -= done
        ready = [row for row, columns in enumerate(holders) if len(columns) == 1]
        while ready:
            row = ready.pop()
            if len(holders[row]) != 1:
                continue
            (column,) = holders[row]
            self._front.append((row, column))
            for other in rows_of[column]:
                holders[other].discard(column)
                if len(holders[other]) == 1:
                    ready.append(other)
            rows_of[column] = set()

    def solve(self, rhs: Sequence[fmpq]) -> list[fmpq]:
        """The x with matrix x = rhs."""
        rest, x = list(rhs), [fmpq(0)] * len(self.lines)
        for row, column in self._front:
            self._settle(rest, x, row, column)
        found = self._core.solve([rest[row] for row in self.core_rows])
        for column, value in zip(self.core_columns, found, strict=True):
            x[column] = value
            if value:
                for row, entry in self.lines[column].items():
                    rest[row] -= entry * value
        for row, column in reversed(self._back):
            self._settle(rest, x, row, column)
        return x

    def _settle(self, rest: list[fmpq], x: list[fmpq], row: int, column: int) -> None:
        if rest[row]:
            line = self.lines[column]
            x[column] = value = rest[row] / line[row]
            for other, entry in line.items():
                rest[other] -= entry * value

    def solve_transposed(self, costs: Sequence[fmpq]) -> list[fmpq]:
        """The y with y matrix = costs."""
        y = [fmpq(0)] * len(self.lines)
        for row, column in self._back:
            y[row] = self._price(y, costs[column], row, column)
        wanted = [costs[column] - _dot(self.lines[column], y) for column in self.core_columns]
        for row, value in zip(self.core_rows, self._core.solve_transposed(wanted), strict=True):
            y[row] = value
        for row, column in reversed(self._front):
            y[row] = self._price(y, costs[column], row, column)
        return y

    def _price(self, y: list[fmpq], cost: fmpq, row: int, column: int) -> fmpq:
        line = self.lines[column]
        y[row] = fmpq(0)
        return (cost - _dot(line, y)) / line[row]


class _Core:
    """The dense rest, rows scaled to whole numbers."""

    MOST_KEPT = 40

    def __init__(self, rows: list[int], lines: list[Line]) -> None:
        self.size = len(rows)
        if len(rows) != len(lines):
            raise SingularBasisError("the basis is not square")
        if not rows:
            return
        scales = []
        for row in rows:
            scale = 1
            for line in lines:
                if row in line:
                    scale = lcm(scale, int(line[row].q))
            scales.append(scale)
        self._scales = scales
        zero = fmpq(0)
        whole = [
            int((line.get(row, zero) * scale).p)
            for row, scale in zip(rows, scales, strict=True)
            for line in lines
        ]
        self._matrix = fmpz_mat(self.size, self.size, whole)
        self._transposed = self._matrix.transpose()
        self._inverse: Any = None
        if self.size <= self.MOST_KEPT:
            try:
                self._inverse = self._matrix.inv()
            except ZeroDivisionError:
                raise SingularBasisError("the columns depend on each other") from None

    def solve(self, rhs: list[fmpq]) -> list[fmpq]:
        if not self.size:
            return []
        scaled = [value * scale for value, scale in zip(rhs, self._scales, strict=True)]
        return self._through(self._matrix, scaled)

    def solve_transposed(self, costs: list[fmpq]) -> list[fmpq]:
        if not self.size:
            return []
        found = self._through(self._transposed, costs)
        return [value * scale for value, scale in zip(found, self._scales, strict=True)]

    def _through(self, matrix: fmpz_mat, rhs: list[fmpq]) -> list[fmpq]:
        if not any(rhs):
            return [fmpq(0)] * self.size
        bottom = lcm(*(int(value.q) for value in rhs))
        whole = fmpz_mat(self.size, 1, [int((value * bottom).p) for value in rhs])
        if self._inverse is not None:
            inverse = self._inverse if matrix is self._matrix else self._inverse.transpose()
            found = inverse * whole
        else:
            try:
                found = matrix.solve(whole)
            except ZeroDivisionError:
                raise SingularBasisError("the columns depend on each other") from None
        return [found[index, 0] / bottom for index in range(self.size)]


def _dot(line: Line, y: Sequence[fmpq]) -> fmpq:
    total = fmpq(0)
    for row, entry in line.items():
        price = y[row]
        if price:
            total += entry * price
    return total
