"""A linear programme: minimise costs . x with rows of coefficients, x >= 0; all exact."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

Sense = Literal["=", "<=", ">="]


@dataclass(frozen=True, slots=True)
class Row:
    """One condition: a sum over columns, compared with `rhs`.

    `reason` is the key path in the project file that sets it; empty for what always holds.
    """

    name: str
    sense: Sense
    rhs: Fraction
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """One quantity that is to be found, at least 0: its cost a unit, its coefficients by row."""

    name: str
    cost: Fraction
    entries: Mapping[int, Fraction]


@dataclass(frozen=True, slots=True)
class Programme:
    """Rows and columns; `aim` says in words what is kept small."""

    aim: str
    rows: tuple[Row, ...]
    columns: tuple[Column, ...]

    def without(self, dropped: frozenset[int]) -> Programme:
        """The same without the rows at these places."""
        kept = [index for index in range(len(self.rows)) if index not in dropped]
        place = {old: new for new, old in enumerate(kept)}
        columns = (
            replace(
                column,
                entries={place[row]: v for row, v in column.entries.items() if row in place},
            )
            for column in self.columns
        )
        return Programme(self.aim, tuple(self.rows[index] for index in kept), tuple(columns))

    def with_costs(self, aim: str, costs: Mapping[int, Fraction]) -> Programme:
        """The same rows with other costs, by column; 0 where none is given."""
        columns = (
            replace(column, cost=costs.get(index, Fraction(0)))
            for index, column in enumerate(self.columns)
        )
        return Programme(aim, self.rows, tuple(columns))

    def with_rhs(self, rhs: Mapping[int, Fraction]) -> Programme:
        """The same with other right-hand sides for some rows."""
        rows = (
            replace(row, rhs=rhs[index]) if index in rhs else row
            for index, row in enumerate(self.rows)
        )
        return replace(self, rows=tuple(rows))

    def activities(self, x: Sequence[Fraction]) -> list[Fraction]:
        """The sum of every row at `x`."""
        found = [Fraction(0)] * len(self.rows)
        for column, value in zip(self.columns, x, strict=True):
            if value:
                for row, entry in column.entries.items():
                    found[row] += entry * value
        return found


@dataclass(frozen=True, slots=True)
class Optimum:
    """The x of least cost, with a price `y` for each row that proves it: costs . x = rhs . y."""

    x: tuple[Fraction, ...]
    y: tuple[Fraction, ...]
    value: Fraction


@dataclass(frozen=True, slots=True)
class Conflict:
    """No x at all: `y` weighs the rows so that their sum says something at most 0 is above 0."""

    y: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Unbounded:
    """The cost falls for ever from `x` in the direction of `ray`."""

    x: tuple[Fraction, ...]
    ray: tuple[Fraction, ...]


Outcome = Optimum | Conflict | Unbounded
