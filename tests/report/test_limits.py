"""Limits that differ in the names of rows only are told once."""

from __future__ import annotations

from fractions import Fraction

from loopwright.report.limits import alike
from loopwright.simulate.reading.limit import Limit


def limit(row: int, share: str, loss: Fraction | int = 1) -> Limit:
    return Limit(
        "starved",
        f"row {row}",
        Fraction(loss),
        f"row {row}: 12 stations wait {share}",
        (f"row {row} gate passed 12 carriers", f"row {row} lane is full"),
    )


ROWS = [f"row {number}" for number in range(1, 13)]


def test_rows_that_read_alike_are_one() -> None:
    found = alike([limit(1, "5 %"), limit(12, "5 %"), limit(2, "6 %")], ROWS)
    assert [[one.place for one in group] for group in found] == [["row 1", "row 12"], ["row 2"]]


def test_other_numbers_are_another_limit() -> None:
    found = alike([limit(1, "5 %"), limit(2, "5 %", 2)], ROWS)
    assert [group[0].place for group in found] == ["row 2", "row 1"]


def test_limits_without_rows_stay_as_they_are() -> None:
    one = Limit("stations", "12 stations", Fraction(1), "all 12 stations")
    assert alike([one], []) == [(one,)]


def test_a_pair_of_rows_is_not_the_same_as_one_row_twice() -> None:
    first = Limit("output", "row 1 row 2 output", Fraction(1), "row 1 and row 2")
    second = Limit("output", "row 3 row 3 output", Fraction(1), "row 3 and row 3")
    assert len(alike([first, second], ROWS)) == 2
