"""A basis of a programme and its equations, in exact numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from flint import fmpq

from loopwright.plan.factor import Factor, Line
from loopwright.plan.programme import Programme

ZERO = fmpq(0)
_MOST_UPDATES = 40


@dataclass(slots=True)
class Position:
    """Where a run stands. Columns beyond those of the programme are the logical ones of the rows.

    The logical column of an equation is `fixed` at 0: it never enters.
    """

    programme: Programme
    basic: list[int] = field(default_factory=list)
    pivots: int = 0
    lines: list[Line] = field(default_factory=list)
    costs: list[fmpq] = field(default_factory=list)
    rhs: list[fmpq] = field(default_factory=list)
    fixed: set[int] = field(default_factory=set)
    _factor: Factor | None = None
    _updates: list[tuple[int, list[fmpq]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        columns, rows = self.programme.columns, self.programme.rows
        for column in columns:
            self.lines.append({row: exact(value) for row, value in column.entries.items()})
            self.costs.append(exact(column.cost))
        for index, row in enumerate(rows):
            self.lines.append({index: fmpq(-1 if row.sense == ">=" else 1)})
            self.costs.append(ZERO)
            if row.sense == "=":
                self.fixed.add(len(columns) + index)
        self.rhs = [exact(row.rhs) for row in rows]

    def logical_basis(self) -> list[int]:
        """The basis of no quantity at all."""
        return [len(self.programme.columns) + row for row in range(len(self.programme.rows))]

    def start(self, basic: Sequence[int]) -> None:
        """Stand at another basis."""
        self.basic = list(basic)
        self._updates = []
        self._factor = Factor([self.lines[j] for j in self.basic])

    def forward(self, rhs: Sequence[fmpq]) -> list[fmpq]:
        """The x with basis x = rhs."""
        assert self._factor is not None
        x = self._factor.solve(rhs)
        for place, alpha in self._updates:
            head = x[place] = x[place] / alpha[place]
            if head:
                for index, step in enumerate(alpha):
                    if step and index != place:
                        x[index] -= step * head
        return x

    def backward(self, costs: Sequence[fmpq]) -> list[fmpq]:
        """The y with y basis = costs."""
        assert self._factor is not None
        given = list(costs)
        for place, alpha in reversed(self._updates):
            total = given[place]
            for index, step in enumerate(alpha):
                if step and index != place and given[index]:
                    total -= step * given[index]
            given[place] = total / alpha[place]
        return self._factor.solve_transposed(given)

    def direction(self, j: int) -> list[fmpq]:
        """How the quantities fall as column j grows."""
        rhs = [ZERO] * len(self.rhs)
        for row, value in self.lines[j].items():
            rhs[row] = value
        return self.forward(rhs)

    def point(self) -> list[fmpq]:
        """The quantities, by place in the basis."""
        return self.forward(self.rhs)

    def prices(self, costs: Sequence[fmpq]) -> list[fmpq]:
        """The prices of the rows at these costs."""
        return self.backward([costs[j] for j in self.basic])

    def reduced(self, j: int, prices: Sequence[fmpq], costs: Sequence[fmpq]) -> fmpq:
        """The slope of column j: its cost less what its rows pay."""
        total = costs[j]
        for row, value in self.lines[j].items():
            price = prices[row]
            if price:
                total -= value * price
        return total

    def pivot(self, place: int, j: int, alpha: list[fmpq]) -> None:
        """Let column j, of direction `alpha`, take a place in the basis."""
        self.basic[place] = j
        self.pivots += 1
        self._updates.append((place, alpha))
        if len(self._updates) >= _MOST_UPDATES:
            self._updates = []
            self._factor = Factor([self.lines[k] for k in self.basic])

    def holds(self, point: Sequence[fmpq]) -> bool:
        """Whether no quantity is below 0, and no fixed one other than 0."""
        return not any(
            value < 0 or (value and j in self.fixed)
            for j, value in zip(self.basic, point, strict=True)
        )


def exact(value: Fraction) -> fmpq:
    """The same number."""
    return fmpq(value.numerator, value.denominator)
