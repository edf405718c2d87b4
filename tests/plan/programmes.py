"""Linear programmes as lists of numbers, made into programmes with quantities at least 0."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from loopwright.plan.programme import Column, Optimum, Programme, Row

Number = Any
"""A whole number, a fraction, or a decimal as it is written."""

FREE = (None, None)


@dataclass(frozen=True)
class Listed:
    """Minimise c x with a_ub x <= b_ub, a_eq x = b_eq and bounds, each (lower, upper) or None."""

    c: Sequence[Number]
    a_ub: Sequence[Sequence[Number]] = ()
    b_ub: Sequence[Number] = ()
    a_eq: Sequence[Sequence[Number]] = ()
    b_eq: Sequence[Number] = ()
    bounds: Sequence[tuple[Number, Number]] = field(default_factory=list)


def exact(value: Number) -> Fraction:
    """A decimal such as 0.1 is what it says, not the float next to it."""
    return value if isinstance(value, Fraction) else Fraction(str(value))


def programme(listed: Listed) -> tuple[Programme, list[list[tuple[int, Fraction]]], list[Fraction]]:
    """The programme; for each x the columns whose sum it is, and what it starts from."""
    size = len(listed.c)
    bounds = list(listed.bounds) or [(0, None)] * size
    lines = [(line, "<=", b) for line, b in zip(listed.a_ub, listed.b_ub, strict=True)]
    lines += [(line, "=", b) for line, b in zip(listed.a_eq, listed.b_eq, strict=True)]
    rhs = [exact(b) for _, _, b in lines]
    rows = [sense for _, sense, _ in lines]
    parts: list[list[tuple[int, Fraction]]] = []
    starts: list[Fraction] = []
    columns: list[Column] = []
    for x, (low, high) in enumerate(bounds):
        entries = {row: exact(line[x]) for row, (line, _, _) in enumerate(lines) if exact(line[x])}
        start = exact(low if low is not None else high if high is not None else 0)
        signs = [1] if low is not None else [-1] if high is not None else [1, -1]
        for row, value in entries.items():
            rhs[row] -= value * start
        parts.append([])
        starts.append(start)
        for sign in signs:
            parts[-1].append((len(columns), Fraction(sign)))
            signed = {row: sign * value for row, value in entries.items()}
            if low is not None and high is not None:
                signed[len(rhs)] = Fraction(1)
                rows.append("<=")
                rhs.append(exact(high) - start)
            columns.append(Column(f"x{x}", sign * exact(listed.c[x]), signed))
    named = (
        Row(f"row {at}", sense, b)  # type: ignore[arg-type]
        for at, (sense, b) in enumerate(zip(rows, rhs, strict=True))
    )
    return Programme("least", tuple(named), tuple(columns)), parts, starts


def point(
    optimum: Optimum, parts: list[list[tuple[int, Fraction]]], starts: list[Fraction]
) -> list[Fraction]:
    """The x of the list."""
    return [
        start + sum((sign * optimum.x[column] for column, sign in part), Fraction(0))
        for part, start in zip(parts, starts, strict=True)
    ]


def value(listed: Listed, x: Sequence[Fraction]) -> Fraction:
    """c x."""
    return sum((exact(c) * at for c, at in zip(listed.c, x, strict=True)), Fraction(0))
