"""Numbers as readers meet them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.report.number import amount, counted, rate, several


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(640, 9), "71 1/9"),
        (Fraction(15, 2), "7.5"),
        (Fraction(54400), "54\u202f400"),
        (Fraction(9999), "9999"),
        (Fraction(1, 3), "1/3"),
        (Fraction(1001, 101), "≈ 9.911"),
        (0, "0"),
    ],
)
def test_amounts_are_exact_where_that_is_short(value: Fraction | int, text: str) -> None:
    assert amount(value) == text


def test_words_with_numbers() -> None:
    assert rate(Fraction(150)) == "150 units/s"
    assert several(1, "row") == "1 row"
    assert several(12000, "row") == "12\u202f000 rows"
    assert counted(-12345) == "-12\u202f345"
