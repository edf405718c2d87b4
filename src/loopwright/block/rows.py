"""Splitting stations into rows.

A full lane serves c stations, c = p/q in lowest terms. A closed design leaves nothing over: n
lanes with rows of r stations leave n(c - r) stations' worth, which k make-up rows of r' stations
use up, so n(c - r) = k r'. Then the block has n c stations, hence n is a multiple of q and the
stations are a multiple of p; r is free.
See docs/theory/block.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd, isqrt

from loopwright.block.block import RowDesign
from loopwright.block.group import is_even, output_load

LISTED = 12
"""Designs that a list of open designs holds at most."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """What rows must keep to.

    `longest` stations a lane may feed in a row; `output` stations that one output belt serves;
    `double` if rows pair up round an output belt, in order; `row` the only row length allowed, or
    None; `most` stations in all, or None.
    """

    longest: int
    output: Fraction
    double: bool
    row: int | None = None
    most: int | None = None

    def lengths(self) -> range:
        """Row lengths that may be tried [stations]."""
        top = min(self.longest, int(self.output))
        if self.row is None:
            return range(1, top + 1)
        return range(self.row, self.row + 1) if self.row <= top else range(0)

    def allow(self, design: RowDesign) -> bool:
        """Whether every output belt serves the rows on it, and there are stations enough."""
        if self.most is not None and design.stations > self.most:
            return False
        return output_load(design, self.double) <= self.output


def closed_designs(capacity: Fraction, needed: Fraction, bounds: Bounds) -> tuple[RowDesign, ...]:
    """All closed designs worth a look, best first; each of at least `needed` [stations].

    For every row length: the design with the least number of stations and the fewest make-up rows,
    and the smallest one whose rows are all equal. `capacity` is c [stations a lane].
    Order: fewest stations, fewest rows, equal rows first, lower fill.
    """
    p, q = capacity.numerator, capacity.denominator
    least = max(1, ceil(needed / p))
    if bounds.most is not None and least * p > bounds.most:
        return ()
    found: set[RowDesign] = set()
    for row in bounds.lengths():
        rest = p - q * row
        if rest < 0:
            continue
        if rest == 0:
            found.add(_closed(capacity, least * q, row, 0, 0))
            continue
        for length in _divisors(least * rest):
            if length <= min(bounds.longest, int(capacity)):
                design = _closed(capacity, least * q, row, least * rest // length, length)
                if bounds.allow(design):
                    found.add(design)
                    break
        period = row // gcd(row, rest)
        times = -(-least // period) * period
        found.add(_closed(capacity, times * q, row, times * rest // row, row))
    return tuple(sorted(filter(bounds.allow, found), key=lambda design: rank(design, needed)))


def rank(design: RowDesign, needed: Fraction) -> tuple[Fraction, int, bool, bool, int, int, int]:
    """Sorting key of designs: fewest stations beyond `needed`, fewest rows, equal rows, lower fill.

    Of as many rows those are better whose make-up rows have as many lanes each. What counts as fill
    is that of the fullest belt, hence the longest row.
    """
    return (
        design.stations - needed,
        design.rows,
        not is_even(design),
        design.make_up > 0 and design.make_up_row != design.row,
        max(design.row, design.make_up_row),
        design.make_up,
        design.row,
    )


def equal_designs(capacity: Fraction, needed: Fraction, bounds: Bounds) -> tuple[RowDesign, ...]:
    """Designs of equal rows, each with lanes of its own and no make-up row, fewest rows first.

    For each number of rows the shortest row that gives `needed` [stations]; at most `LISTED`.
    """
    lengths = bounds.lengths()
    if not lengths:
        return ()
    whole = max(1, ceil(needed))
    if bounds.row is not None:
        counts = {ceil(Fraction(whole, bounds.row))}
    else:
        counts = set()
        for longest in {lengths[-1], max(1, min(bounds.longest, int(bounds.output / 2)))}:
            first = ceil(Fraction(whole, longest))
            counts.update(range(first, first + LISTED))
    found = []
    for count in sorted(counts):
        row = bounds.row or ceil(Fraction(whole, count))
        if row not in lengths or ceil(Fraction(whole, row)) != count:
            continue
        design = RowDesign(count, row, 0, 0, row / capacity, closed=row == capacity)
        if bounds.allow(design):
            found.append(design)
    return tuple(found[:LISTED])


def open_designs(capacity: Fraction, needed: Fraction, bounds: Bounds) -> tuple[RowDesign, ...]:
    """Designs with make-up rows that leave something over, which has to be returned; best first.

    They exist for almost any number of stations, where a closed design would take many more than
    `needed`. Order: fewest rows, fewest stations, equal rows first, lower fill; at most `LISTED`.
    """
    lengths = bounds.lengths()
    if not lengths:
        return ()
    whole = max(2, ceil(needed))
    found: set[RowDesign] = set()
    first = ceil(whole / capacity)
    for lanes in range(first, first + LISTED):
        for row in _open_rows(lanes, whole, bounds):
            for make_up, make_up_row in _open_make_up(lanes, row, whole, capacity, bounds):
                left = lanes * (capacity - row) - make_up * make_up_row
                design = RowDesign(
                    lanes, row, make_up, make_up_row, row / capacity, closed=left == 0
                )
                if left >= 0 and row in lengths and bounds.allow(design):
                    found.add(design)
    ranked = sorted(found, key=lambda d: (d.rows, *rank(d, needed)))
    return tuple(ranked[:LISTED])


def _open_rows(lanes: int, whole: int, bounds: Bounds) -> set[int]:
    """Row lengths to try: with one make-up row, and the longest that may share an output belt."""
    if bounds.row is not None:
        return {bounds.row}
    half = int(bounds.output / 2) if bounds.double else int(bounds.output)
    tried = {ceil(Fraction(whole, lanes + extra)) for extra in range(1, LISTED)}
    tried.add(min(bounds.longest, half))
    return {row for row in tried if 1 <= row < whole}


def _open_make_up(
    lanes: int, row: int, whole: int, capacity: Fraction, bounds: Bounds
) -> list[tuple[int, int]]:
    """Make-up rows (how many, how long) that bring `lanes` rows of `row` to `whole` stations."""
    missing = whole - lanes * row
    if missing < 1:
        return []
    longest = min(bounds.longest, int(capacity), int(bounds.output))
    count = ceil(Fraction(missing, longest))
    equal = ceil(Fraction(missing, row))
    return [(count, ceil(Fraction(missing, count))), (equal, row)]


def _closed(capacity: Fraction, lanes: int, row: int, make_up: int, make_up_row: int) -> RowDesign:
    assert lanes * (capacity - row) == make_up * make_up_row
    return RowDesign(lanes, row, make_up, make_up_row, row / capacity, closed=True)


def _divisors(number: int) -> list[int]:
    """Divisors of a number above 0, largest first."""
    small = [i for i in range(1, isqrt(number) + 1) if number % i == 0]
    return sorted({*small, *(number // i for i in small)}, reverse=True)
