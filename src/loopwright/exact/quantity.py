"""Quantities as text and back: the one place where units are converted."""

from __future__ import annotations

import re
from fractions import Fraction

from loopwright.exact.unit import UNITS, Unit

MOST_DIGITS = 15
"""Digits that each part of a number may have."""

LARGEST = Fraction(10**12)
"""Largest magnitude of a quantity, in its base unit."""

_NUMBER = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>[0-9]+)[ ]+(?=[0-9]+[ ]*/[ ]*[0-9]))?"
    r"(?P<top>[0-9]+)(?:\.(?P<decimals>[0-9]+)|[ ]*/[ ]*(?P<bottom>[0-9]+))?"
)
_UNIT = re.compile(r"[A-Za-z]*(?:/[A-Za-z]+)?")
_EXPONENT = re.compile(r"[+-]?[0-9.]+[eE][+-]?[0-9]+")


class QuantityError(ValueError):
    """A text is no quantity of the wanted kind.

    `problem` says what is wrong in words, `allowed` what would be right; `about` is number, unit
    or size.
    """

    def __init__(self, problem: str, allowed: str, about: str) -> None:
        super().__init__(f"{problem}; allowed: {allowed}")
        self.problem = problem
        self.allowed = allowed
        self.about = about


def parse_quantity(value: object, unit: str) -> Fraction:
    """Read one quantity exactly; the result is in the base unit `unit` [a key of UNITS].

    Text carries its unit, except that a bare 0 needs none. Numbers of Python (int, Fraction) are
    taken to be in the base unit already.

    Raises
    ------
    QuantityError
        Not a number, an unknown or missing unit, too many digits, larger than 10^12, or a float.
    KeyError
        `unit` is not a base unit.
    """
    kind = UNITS[unit]
    if isinstance(value, str):
        found = _parse_text(value, kind)
    elif isinstance(value, (int, Fraction)) and not isinstance(value, bool):
        found = Fraction(value)
    else:
        problem = f"{_quoted(value)} is not {kind.noun}"
        if isinstance(value, float):
            problem = f"{value!r} is a binary float, which is not exact"
        raise QuantityError(problem, _allowed(kind), "number")
    if abs(found) > LARGEST:
        limit = f"at most 1000000000000 {kind.base}".strip()
        raise QuantityError(f"{_quoted(value)} is too large", limit, "size")
    return found


def format_quantity(value: Fraction, unit: str) -> str:
    """Text that `parse_quantity` reads back to the same value [`unit`], such as "16/3 s"."""
    kind = UNITS[unit]
    if kind.base == "units/s":
        return f"{value}/s"
    return f"{value} {kind.base}".strip()


def format_fraction(value: Fraction) -> str:
    """A number for people: 7.5 where few decimals do, else a mixed fraction such as "71 1/9"."""
    if value.denominator == 1:
        return str(value.numerator)
    if 1000 % value.denominator == 0:
        return _decimal(value)
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value.numerator), value.denominator)
    part = f"{rest}/{value.denominator}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def format_rate(value: Fraction) -> str:
    """A rate [units/s] for people, such as "150/s", "7.5/s" or "71 1/9 /s"."""
    text = format_fraction(value)
    return f"{text} /s" if "/" in text else f"{text}/s"


def _decimal(value: Fraction) -> str:
    thousandths = abs(value.numerator) * (1000 // value.denominator)
    whole, rest = divmod(thousandths, 1000)
    sign = "-" if value < 0 else ""
    return f"{sign}{whole}.{rest:03d}".rstrip("0")


def _parse_text(text: str, kind: Unit) -> Fraction:
    clean = text.strip(" ")
    if len(clean) > 80:
        raise QuantityError(f"{_quoted(text)} is too long", _allowed(kind), "number")
    match = _NUMBER.match(clean)
    if match is None:
        raise QuantityError(f"{_quoted(text)} is not {kind.noun}", _allowed(kind), "number")
    if _EXPONENT.match(clean):
        problem = f"{_quoted(text)} uses an exponent"
        raise QuantityError(problem, f"digits written out, such as {kind.example}", "number")
    number = _number(match, text, kind)
    rest = clean[match.end() :]
    spelled = rest.replace(" ", "")
    if not _UNIT.fullmatch(spelled):
        raise QuantityError(f"{_quoted(text)} is not {kind.noun}", _allowed(kind), "number")
    if spelled in kind.factors:
        return number * kind.factors[spelled]
    if not spelled and number == 0:
        return number
    raise QuantityError(_unit_problem(text, spelled, kind), _allowed(kind), "unit")


def _number(match: re.Match[str], text: str, kind: Unit) -> Fraction:
    parts = [part for part in match.group("whole", "top", "decimals", "bottom") if part]
    if any(len(part) > MOST_DIGITS for part in parts):
        limit = f"at most {MOST_DIGITS} digits in each part of a number"
        raise QuantityError(f"{_quoted(text)} has too many digits", limit, "size")
    whole, top, decimals, bottom = match.group("whole", "top", "decimals", "bottom")
    number = Fraction(int(top))
    if decimals:
        number += Fraction(int(decimals), 10 ** len(decimals))
    if bottom:
        if int(bottom) == 0:
            raise QuantityError(f"{_quoted(text)} divides by 0", _allowed(kind), "number")
        number /= int(bottom)
    if whole:
        number += int(whole)
    return -number if match.group("sign") == "-" else number


def _unit_problem(text: str, spelled: str, kind: Unit) -> str:
    if not kind.shown:
        return f"{_quoted(text)} has a unit, but this is {kind.noun}"
    if not spelled:
        return f"{_quoted(text)} has no unit, but this is {kind.noun}"
    return f"{_quoted(text)} has the unit {spelled!r}, but this is {kind.noun}"


def _allowed(kind: Unit) -> str:
    if not kind.shown:
        return f"digits, decimals or a fraction, such as 3, 0.25 or {kind.example}"
    return f"a number with one of the units {', '.join(kind.shown)}, such as {kind.example}"


def _quoted(value: object) -> str:
    text = value if isinstance(value, str) else repr(value)
    return repr(text if len(text) <= 40 else text[:37] + "...")
