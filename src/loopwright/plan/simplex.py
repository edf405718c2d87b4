"""The simplex method in exact numbers, from any basis.

Bases come from a float solver and are nearly always optimal already; then nothing is done but to
say so. Where a basis is not, exact pivots go on from it: dual ones from prices that hold, primal
ones from quantities that hold, and where neither does, a first phase with one artificial column
makes the quantities hold. Pivots choose the steepest column until the value stands still, then
by Bland's rule until it moves; so every run ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from flint import fmpq

from loopwright.plan.basis import Shortfall
from loopwright.plan.factor import Factor, Line, SingularBasisError
from loopwright.plan.programme import Conflict, Optimum, Outcome, Programme, Unbounded

_ZERO = fmpq(0)
_MOST_UPDATES = 40
_MOST_DUAL = 2000


@dataclass(slots=True)
class Simplex:
    """State of one run. Columns beyond those of the programme are the logical ones of the rows.

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
            self.lines.append({row: _exact(value) for row, value in column.entries.items()})
            self.costs.append(_exact(column.cost))
        for index, row in enumerate(rows):
            self.lines.append({index: fmpq(-1 if row.sense == ">=" else 1)})
            self.costs.append(_ZERO)
            if row.sense == "=":
                self.fixed.add(len(columns) + index)
        self.rhs = [_exact(row.rhs) for row in rows]

    def logical_basis(self) -> list[int]:
        """The basis of no quantity at all."""
        return [len(self.programme.columns) + row for row in range(len(self.programme.rows))]

    def attempt(self, basic: Sequence[int]) -> Optimum | Shortfall:
        """The optimum if `basic` is a basis of it, else what is wrong.

        Raises
        ------
        SingularBasisError
            It is no basis at all.
        """
        self._start(basic)
        point, prices = self._point(), self._prices(self.costs)
        slopes = [self._reduced(j, prices, self.costs) for j in range(len(self.lines))]
        right = all(slope >= 0 for j, slope in enumerate(slopes) if j not in self.fixed)
        if right and self._holds(point):
            return self._optimum(point, prices, self.costs)
        values = [_ZERO] * len(self.lines)
        for j, value in zip(self.basic, point, strict=True):
            values[j] = value
        return Shortfall(values, slopes, self.fixed)

    def run(self, basic: Sequence[int] | None = None) -> Outcome:
        """The outcome, from this basis or from the logical one."""
        try:
            self._start(basic if basic is not None else self.logical_basis())
            point = self._point()
        except SingularBasisError:
            self._start(self.logical_basis())
            point = self._point()
        if not self._holds(point):
            prices = self._prices(self.costs)
            found = self._dual() if self._entering(prices, self.costs) is None else None
            if isinstance(found, Conflict):
                return found
            if found is None:
                conflict = self._first_phase()
                if conflict is not None:
                    return conflict
        return self._primal(self.costs)

    def improve(self, optimum: Optimum, second: Sequence[Fraction]) -> Optimum:
        """Of all quantities as cheap as `optimum`, found by this run, those least in `second`.

        Its prices stay valid: only columns that they leave indifferent enter.
        """
        prices = [_exact(value) for value in optimum.y]
        even = {
            j for j in range(len(self.lines))
            if j not in self.fixed and not self._reduced(j, prices, self.costs)
        }  # fmt: skip
        costs = [_exact(value) for value in second] + [_ZERO] * len(self.programme.rows)
        found = self._primal(costs, even)
        if not isinstance(found, Optimum):
            return optimum
        return Optimum(found.x, optimum.y, optimum.value)

    # ------------------------------------------------------------------------------- equations

    def _start(self, basic: Sequence[int]) -> None:
        self.basic = list(basic)
        self._updates = []
        self._factor = Factor([self.lines[j] for j in self.basic])

    def _forward(self, rhs: Sequence[fmpq]) -> list[fmpq]:
        assert self._factor is not None
        x = self._factor.solve(rhs)
        for place, alpha in self._updates:
            head = x[place] = x[place] / alpha[place]
            if head:
                for index, step in enumerate(alpha):
                    if step and index != place:
                        x[index] -= step * head
        return x

    def _backward(self, costs: Sequence[fmpq]) -> list[fmpq]:
        assert self._factor is not None
        given = list(costs)
        for place, alpha in reversed(self._updates):
            total = given[place]
            for index, step in enumerate(alpha):
                if step and index != place and given[index]:
                    total -= step * given[index]
            given[place] = total / alpha[place]
        return self._factor.solve_transposed(given)

    def _direction(self, j: int) -> list[fmpq]:
        rhs = [_ZERO] * len(self.rhs)
        for row, value in self.lines[j].items():
            rhs[row] = value
        return self._forward(rhs)

    def _point(self) -> list[fmpq]:
        return self._forward(self.rhs)

    def _prices(self, costs: Sequence[fmpq]) -> list[fmpq]:
        return self._backward([costs[j] for j in self.basic])

    def _reduced(self, j: int, prices: Sequence[fmpq], costs: Sequence[fmpq]) -> fmpq:
        total = costs[j]
        for row, value in self.lines[j].items():
            price = prices[row]
            if price:
                total -= value * price
        return total

    def _pivot(self, place: int, j: int, alpha: list[fmpq]) -> None:
        self.basic[place] = j
        self.pivots += 1
        self._updates.append((place, alpha))
        if len(self._updates) >= _MOST_UPDATES:
            self._updates = []
            self._factor = Factor([self.lines[k] for k in self.basic])

    # ---------------------------------------------------------------------------------- checks

    def _holds(self, point: Sequence[fmpq]) -> bool:
        return not any(
            value < 0 or (value and j in self.fixed)
            for j, value in zip(self.basic, point, strict=True)
        )

    def _entering(
        self, prices: Sequence[fmpq], costs: Sequence[fmpq], *, first: bool = False,
        among: set[int] | None = None,
    ) -> int | None:  # fmt: skip
        """A column that brings the cost down: the steepest, or the first by Bland's rule."""
        inside = set(self.basic)
        best, steepest = None, _ZERO
        for j in range(len(self.lines)) if among is None else sorted(among):
            if j in inside or j in self.fixed:
                continue
            slope = self._reduced(j, prices, costs)
            if slope < steepest:
                if first:
                    return j
                best, steepest = j, slope
        return best

    # ---------------------------------------------------------------------------------- pivots

    def _primal(self, costs: Sequence[fmpq], among: set[int] | None = None) -> Outcome:
        """Primal pivots from quantities that hold."""
        point, stuck = self._point(), 0
        while True:
            prices = self._prices(costs)
            j = self._entering(prices, costs, first=stuck > 3, among=among)
            if j is None:
                return self._optimum(point, prices, costs)
            alpha = self._direction(j)
            place = self._leaving(point, alpha)
            if place is None:
                return self._unbounded(point, j, alpha)
            step = point[place] / alpha[place] if self.basic[place] not in self.fixed else _ZERO
            stuck = 0 if step else stuck + 1
            point = _stepped(point, alpha, step)
            point[place] = step
            self._pivot(place, j, alpha)

    def _leaving(self, point: Sequence[fmpq], alpha: Sequence[fmpq]) -> int | None:
        """The row that binds first; of several the one whose column comes first."""
        best: tuple[fmpq, int] | None = None
        found = None
        for place, a in enumerate(alpha):
            if not a:
                continue
            j = self.basic[place]
            if j in self.fixed:
                return place
            if a > 0:
                bound = (point[place] / a, j)
                if best is None or bound < best:
                    best, found = bound, place
        return found

    def _dual(self) -> Conflict | bool | None:
        """Dual pivots from prices that hold; None where they take too long."""
        point, prices = self._point(), self._prices(self.costs)
        for turn in range(_MOST_DUAL):
            wrong = [
                (self.basic[place] if turn > 200 else 0, -abs(value), place)
                for place, value in enumerate(point)
                if value < 0 or (value and self.basic[place] in self.fixed)
            ]
            if not wrong:
                return True
            place = min(wrong)[2]
            sign = -1 if point[place] < 0 else 1
            unit = [_ZERO] * len(self.rhs)
            unit[place] = fmpq(sign)
            weights = self._backward(unit)
            j, ratio = self._dual_entering(weights, prices)
            if j is None:
                return Conflict(tuple(_fraction(value) for value in weights))
            alpha = self._direction(j)
            step = point[place] / alpha[place]
            point = _stepped(point, alpha, step)
            point[place] = step
            prices = _stepped(prices, weights, ratio)
            self._pivot(place, j, alpha)
        return None

    def _dual_entering(
        self, weights: Sequence[fmpq], prices: Sequence[fmpq]
    ) -> tuple[int | None, fmpq]:
        """The column whose price is used up first, of several the first; and at what step."""
        inside = set(self.basic)
        best, found, zero = _ZERO, None, [_ZERO] * len(self.lines)
        for j in range(len(self.lines)):
            if j in inside or j in self.fixed:
                continue
            slope = self._reduced(j, weights, zero)
            if slope < 0:
                ratio = self._reduced(j, prices, self.costs) / slope
                if found is None or ratio > best:
                    best, found = ratio, j
        return found, best

    def _first_phase(self) -> Conflict | None:
        """Make the quantities hold with one artificial column; a conflict where nothing does."""
        point = self._point()
        wrong = [
            place for place, value in enumerate(point)
            if value < 0 or (value and self.basic[place] in self.fixed)
        ]  # fmt: skip
        line: dict[int, fmpq] = {}
        for place in wrong:
            for row, value in self.lines[self.basic[place]].items():
                line[row] = line.get(row, _ZERO) + value * point[place]
        artificial = len(self.lines)
        self.lines.append({row: value for row, value in line.items() if value})
        self.costs.append(_ZERO)
        alpha = [value if place in set(wrong) else _ZERO for place, value in enumerate(point)]
        self._pivot(wrong[0], artificial, alpha)
        costs = [_ZERO] * artificial + [fmpq(1)]
        found = self._primal(costs)
        assert isinstance(found, Optimum), "the artificial column cannot fall below 0"
        if found.value > 0:
            return Conflict(found.y)
        if artificial in self.basic:
            self._drive_out(self.basic.index(artificial))
        self.lines.pop()
        self.costs.pop()
        return None

    def _drive_out(self, place: int) -> None:
        """Let any other column take the place of the artificial one, which is at 0."""
        unit = [_ZERO] * len(self.rhs)
        unit[place] = fmpq(1)
        weights = self._backward(unit)
        free = [j for j in range(len(self.lines) - 1) if j not in set(self.basic)]
        free.sort(key=lambda j: j in self.fixed)
        zero = [_ZERO] * len(self.lines)
        j = next(j for j in free if self._reduced(j, weights, zero))
        self._pivot(place, j, self._direction(j))

    # --------------------------------------------------------------------------------- results

    def _optimum(
        self, point: Sequence[fmpq], prices: Sequence[fmpq], costs: Sequence[fmpq]
    ) -> Optimum:
        value = sum((costs[j] * at for j, at in zip(self.basic, point, strict=True)), _ZERO)
        return Optimum(
            self._full(point), tuple(_fraction(price) for price in prices), _fraction(value)
        )

    def _unbounded(self, point: Sequence[fmpq], j: int, alpha: Sequence[fmpq]) -> Unbounded:
        ray = list(self._full([-a for a in alpha]))
        if j < len(ray):
            ray[j] = Fraction(1)
        return Unbounded(self._full(point), tuple(ray))

    def _full(self, point: Sequence[fmpq]) -> tuple[Fraction, ...]:
        found = [Fraction(0)] * len(self.programme.columns)
        for j, value in zip(self.basic, point, strict=True):
            if j < len(found):
                found[j] = _fraction(value)
        return tuple(found)


def _stepped(values: Sequence[fmpq], way: Sequence[fmpq], step: fmpq) -> list[fmpq]:
    """`values` less `step` times `way`."""
    if not step:
        return list(values)
    return [value - step * one if one else value for value, one in zip(values, way, strict=True)]


def _exact(value: Fraction) -> fmpq:
    return fmpq(value.numerator, value.denominator)


def _fraction(value: fmpq) -> Fraction:
    return Fraction(int(value.p), int(value.q))
