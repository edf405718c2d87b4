"""The simplex method in exact numbers, from any basis.

Bases come from a float solver and are nearly always optimal already; then nothing is done but to
say so. Where a basis is not, exact pivots go on from it: dual ones from prices that hold, primal
ones from quantities that hold, and where neither does, a first phase with one artificial column
makes the quantities hold. Pivots choose the steepest column until the value stands still, then
by Bland's rule until it moves; so every run ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from flint import fmpq

from loopwright.plan.basis import Shortfall
from loopwright.plan.factor import SingularBasisError
from loopwright.plan.position import ZERO, Position, exact
from loopwright.plan.programme import Conflict, Optimum, Outcome, Unbounded

_MOST_DUAL = 2000


@dataclass(slots=True)
class Simplex(Position):
    """A run from one basis to the outcome."""

    def attempt(self, basic: Sequence[int]) -> Optimum | Shortfall:
        """The optimum if `basic` is a basis of it, else what is wrong.

        Raises
        ------
        SingularBasisError
            It is no basis at all.
        """
        self.start(basic)
        point, prices = self.point(), self.prices(self.costs)
        slopes = [self.reduced(j, prices, self.costs) for j in range(len(self.lines))]
        right = all(slope >= 0 for j, slope in enumerate(slopes) if j not in self.fixed)
        if right and self.holds(point):
            return self._optimum(point, prices, self.costs)
        values = [ZERO] * len(self.lines)
        for j, value in zip(self.basic, point, strict=True):
            values[j] = value
        return Shortfall(values, slopes, self.fixed)

    def run(self, basic: Sequence[int] | None = None) -> Outcome:
        """The outcome, from this basis or from the logical one."""
        try:
            self.start(basic if basic is not None else self.logical_basis())
            point = self.point()
        except SingularBasisError:
            self.start(self.logical_basis())
            point = self.point()
        if not self.holds(point):
            prices = self.prices(self.costs)
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
        prices = [exact(value) for value in optimum.y]
        even = {
            j for j in range(len(self.lines))
            if j not in self.fixed and not self.reduced(j, prices, self.costs)
        }  # fmt: skip
        costs = [exact(value) for value in second] + [ZERO] * len(self.programme.rows)
        found = self._primal(costs, even)
        if not isinstance(found, Optimum):
            return optimum
        return Optimum(found.x, optimum.y, optimum.value)

    def raise_prices(self, optimum: Optimum, rows: Sequence[int]) -> Optimum:
        """The same quantities, found by this run, with prices that also tell what is not there.

        Nothing goes through some of `rows`, so that their prices are not settled. Each is moved up
        to what one more of all of them would cost: dual pivots towards that need, as long as they
        change no quantity.
        """
        flow = {
            row for column, x in zip(self.programme.columns, optimum.x, strict=True) if x
            for row in column.entries
        }  # fmt: skip
        need = [ZERO] * len(self.rhs)
        for row in rows:
            if row not in flow:
                need[row] = fmpq(1)
        if not any(need):
            return optimum
        point, extra, prices = self.point(), self.forward(need), self.prices(self.costs)
        stuck: set[int] = set()
        for _ in range(_MOST_DUAL):
            short = [
                (self.basic[place], place) for place, more in enumerate(extra)
                if not point[place] and self.basic[place] not in stuck
                and (more < 0 or (more and self.basic[place] in self.fixed))
            ]  # fmt: skip
            if not short:
                break
            leaving, place = min(short)
            unit = [ZERO] * len(self.rhs)
            unit[place] = fmpq(-1 if extra[place] < 0 else 1)
            weights = self.backward(unit)
            j, ratio = self._dual_entering(weights, prices)
            if j is None:
                stuck.add(leaving)
                continue
            alpha = self.direction(j)
            step = extra[place] / alpha[place]
            extra = _stepped(extra, alpha, step)
            extra[place] = step
            prices = _stepped(prices, weights, ratio)
            self.pivot(place, j, alpha)
        return Optimum(optimum.x, tuple(_fraction(price) for price in prices), optimum.value)

    # ---------------------------------------------------------------------------------- choice

    def _entering(
        self, prices: Sequence[fmpq], costs: Sequence[fmpq], *, first: bool = False,
        among: set[int] | None = None,
    ) -> int | None:  # fmt: skip
        """A column that brings the cost down: the steepest, or the first by Bland's rule."""
        inside = set(self.basic)
        best, steepest = None, ZERO
        for j in range(len(self.lines)) if among is None else sorted(among):
            if j in inside or j in self.fixed:
                continue
            slope = self.reduced(j, prices, costs)
            if slope < steepest:
                if first:
                    return j
                best, steepest = j, slope
        return best

    # ---------------------------------------------------------------------------------- pivots

    def _primal(self, costs: Sequence[fmpq], among: set[int] | None = None) -> Outcome:
        """Primal pivots from quantities that hold."""
        point, stuck = self.point(), 0
        while True:
            prices = self.prices(costs)
            j = self._entering(prices, costs, first=stuck > 3, among=among)
            if j is None:
                return self._optimum(point, prices, costs)
            alpha = self.direction(j)
            place = self._leaving(point, alpha)
            if place is None:
                return self._unbounded(point, j, alpha)
            step = point[place] / alpha[place] if self.basic[place] not in self.fixed else ZERO
            stuck = 0 if step else stuck + 1
            point = _stepped(point, alpha, step)
            point[place] = step
            self.pivot(place, j, alpha)

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
        point, prices = self.point(), self.prices(self.costs)
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
            unit = [ZERO] * len(self.rhs)
            unit[place] = fmpq(sign)
            weights = self.backward(unit)
            j, ratio = self._dual_entering(weights, prices)
            if j is None:
                return Conflict(tuple(_fraction(value) for value in weights))
            alpha = self.direction(j)
            step = point[place] / alpha[place]
            point = _stepped(point, alpha, step)
            point[place] = step
            prices = _stepped(prices, weights, ratio)
            self.pivot(place, j, alpha)
        return None

    def _dual_entering(
        self, weights: Sequence[fmpq], prices: Sequence[fmpq]
    ) -> tuple[int | None, fmpq]:
        """The column whose price is used up first, of several the first; and at what step."""
        inside = set(self.basic)
        best, found, zero = ZERO, None, [ZERO] * len(self.lines)
        for j in range(len(self.lines)):
            if j in inside or j in self.fixed:
                continue
            slope = self.reduced(j, weights, zero)
            if slope < 0:
                ratio = self.reduced(j, prices, self.costs) / slope
                if found is None or ratio > best:
                    best, found = ratio, j
        return found, best

    def _first_phase(self) -> Conflict | None:
        """Make the quantities hold with one artificial column; a conflict where nothing does."""
        point = self.point()
        wrong = [
            place for place, value in enumerate(point)
            if value < 0 or (value and self.basic[place] in self.fixed)
        ]  # fmt: skip
        line: dict[int, fmpq] = {}
        for place in wrong:
            for row, value in self.lines[self.basic[place]].items():
                line[row] = line.get(row, ZERO) + value * point[place]
        artificial = len(self.lines)
        self.lines.append({row: value for row, value in line.items() if value})
        self.costs.append(ZERO)
        alpha = [value if place in set(wrong) else ZERO for place, value in enumerate(point)]
        self.pivot(wrong[0], artificial, alpha)
        costs = [ZERO] * artificial + [fmpq(1)]
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
        unit = [ZERO] * len(self.rhs)
        unit[place] = fmpq(1)
        weights = self.backward(unit)
        free = [j for j in range(len(self.lines) - 1) if j not in set(self.basic)]
        free.sort(key=lambda j: j in self.fixed)
        zero = [ZERO] * len(self.lines)
        j = next(j for j in free if self.reduced(j, weights, zero))
        self.pivot(place, j, self.direction(j))

    # --------------------------------------------------------------------------------- results

    def _optimum(
        self, point: Sequence[fmpq], prices: Sequence[fmpq], costs: Sequence[fmpq]
    ) -> Optimum:
        value = sum((costs[j] * at for j, at in zip(self.basic, point, strict=True)), ZERO)
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


def _fraction(value: fmpq) -> Fraction:
    return Fraction(int(value.p), int(value.q))
