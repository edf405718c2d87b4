"""Quantities as text and back."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopwright.exact import (
    UNITS,
    QuantityError,
    format_fraction,
    format_quantity,
    format_rate,
    parse_quantity,
)

PARTS = st.integers(-(10**9), 10**9)
NUMBERS = st.builds(Fraction, PARTS, st.integers(1, 10**9)).filter(
    lambda number: abs(number) <= 10**12
)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("9000/min", "units/s", Fraction(150)),
        ("540000/h", "units/s", Fraction(150)),
        ("150 units/s", "units/s", Fraction(150)),
        ("1 unit / min", "units/s", Fraction(1, 60)),
        ("16/3/s", "units/s", Fraction(16, 3)),
        ("71 1/9 /s", "units/s", Fraction(640, 9)),
        ("16/3 s", "s", Fraction(16, 3)),
        ("16 / 3 s", "s", Fraction(16, 3)),
        ("10 min", "s", Fraction(600)),
        ("250ms", "s", Fraction(1, 4)),
        ("0", "s", Fraction(0)),
        ("0.0", "kW", Fraction(0)),
        ("0.25", "", Fraction(1, 4)),
        ("1.10", "", Fraction(11, 10)),
        ("+5/4", "", Fraction(5, 4)),
        ("-5 1/4", "", Fraction(-21, 4)),
        ("  3  ", "", Fraction(3)),
        ("7.5 carriers/s", "carriers/s", Fraction(15, 2)),
        ("450 cells/min", "carriers/s", Fraction(15, 2)),
        ("75 kW", "kW", Fraction(75)),
        ("750 W", "kW", Fraction(3, 4)),
        ("1.2 MW", "kW", Fraction(1200)),
        ("120 cm", "m", Fraction(6, 5)),
        ("000000000000012 m", "m", Fraction(12)),
    ],
)
def test_quantities_are_read_exactly(text: str, unit: str, value: Fraction) -> None:
    assert parse_quantity(text, unit) == value


@pytest.mark.parametrize(
    ("text", "unit", "about", "said"),
    [
        ("", "", "number", "not a plain number"),
        ("fast", "units/s", "number", "not a rate"),
        ("nan", "", "number", "not a plain number"),
        ("inf", "s", "number", "not a time"),
        ("1e9", "", "number", "exponent"),
        ("1E+3 s", "s", "number", "exponent"),
        ("1_000", "", "number", "not a plain number"),
        ("1,5 s", "s", "number", "not a time"),
        (".5", "", "number", "not a plain number"),
        ("5.", "", "number", "not a plain number"),
        ("1.5.2", "", "number", "not a plain number"),
        ("1/2/3", "", "number", "not a plain number"),
        ("--5", "", "number", "not a plain number"),
        ("5 5", "", "number", "not a plain number"),
        ("1/0 s", "s", "number", "divides by 0"),
        ("٣ s", "s", "number", "not a time"),
        ("1\n", "", "number", "not a plain number"),
        ("1" + " " * 90 + "s", "s", "number", "too long"),
        ("5", "s", "unit", "no unit"),
        ("5 s", "", "unit", "has a unit"),
        ("5 kg", "s", "unit", "the unit 'kg'"),
        ("5 S", "s", "unit", "the unit 'S'"),
        ("5 /s", "s", "unit", "the unit '/s'"),
        ("1000000000000001", "", "size", "too many digits"),
        ("0.0000000000000001", "", "size", "too many digits"),
        ("999999999999999 h", "s", "size", "too large"),
        ("1000000000001", "", "size", "too large"),
    ],
)
def test_what_is_no_quantity_says_what_would_be(
    text: str, unit: str, about: str, said: str
) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, unit)
    assert caught.value.about == about
    assert said in caught.value.problem
    assert caught.value.allowed
    assert str(caught.value) == f"{caught.value.problem}; allowed: {caught.value.allowed}"


@pytest.mark.parametrize("value", [1.5, float("nan"), True, None, [1], {}, b"1"])
def test_only_exact_numbers_and_texts_are_taken(value: object) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(value, "")


def test_numbers_of_python_are_in_the_base_unit() -> None:
    assert parse_quantity(3, "s") == 3
    assert parse_quantity(Fraction(1, 3), "units/s") == Fraction(1, 3)


@pytest.mark.parametrize("unit", UNITS)
def test_the_example_of_each_unit_reads(unit: str) -> None:
    assert parse_quantity(UNITS[unit].example, unit) > 0
    for spelling in UNITS[unit].shown:
        assert parse_quantity(f"2 {spelling}", unit) > 0


@given(NUMBERS, st.sampled_from(sorted(UNITS)))
def test_what_is_written_reads_back(number: Fraction, unit: str) -> None:
    assert parse_quantity(format_quantity(number, unit), unit) == number


@given(NUMBERS)
def test_what_is_shown_to_people_reads_back(number: Fraction) -> None:
    assert parse_quantity(format_fraction(number), "") == number
    assert parse_quantity(format_rate(number), "units/s") == number


@given(st.text(max_size=60), st.sampled_from(sorted(UNITS)))
def test_any_text_reads_or_is_refused(text: str, unit: str) -> None:
    with suppress(QuantityError):
        assert isinstance(parse_quantity(text, unit), Fraction)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(640, 9), "71 1/9"),
        (Fraction(-640, 9), "-71 1/9"),
        (Fraction(1, 9), "1/9"),
        (Fraction(15, 2), "7.5"),
        (Fraction(-1, 8), "-0.125"),
        (Fraction(1, 16), "1/16"),
        (Fraction(150), "150"),
        (Fraction(0), "0"),
    ],
)
def test_numbers_for_people(value: Fraction, text: str) -> None:
    assert format_fraction(value) == text


def test_rates_for_people() -> None:
    assert format_rate(Fraction(150)) == "150/s"
    assert format_rate(Fraction(15, 2)) == "7.5/s"
    assert format_rate(Fraction(640, 9)) == "71 1/9 /s"
