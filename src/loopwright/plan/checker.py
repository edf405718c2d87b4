"""Checks certificates of plans: exact, and sharing nothing with what finds plans or writes proofs.

`check_certificate` reads the text line by line, with fractions and additions. What it
believes is only that a sum of true conditions is true.
"""

from __future__ import annotations

from fractions import Fraction
from hashlib import sha256


class CertificateError(ValueError):
    """The text proves nothing; the message says which line fails, and why."""


def check_certificate(text: str) -> tuple[tuple[str, Fraction], ...]:
    """What the text proves: for each claim "optimal" or "conflict" and its result.

    Raises
    ------
    CertificateError
        Some condition does not hold, or the text is not of the form it should have.
    """
    head, mark, body = text.partition("\nbelow: sha256:")
    digest, _, body = body.partition("\n")
    lines = head.split("\n")
    _hold(bool(mark) and lines[:2] == ["kind: plan-certificate", "version: 1"], "no certificate")
    _hold(sha256(body.encode()).hexdigest() == digest, "the text is not as it was written")
    _hold(body.endswith("\nend\n"), "the end is missing")
    parts = body.removesuffix("\nend\n").split("\nclaim ")[1:]
    _hold(lines[-1] == f"claims: {len(parts)}" and bool(parts), "claims are missing")
    try:
        return tuple(_check(part, number) for number, part in enumerate(parts, 1))
    except (ValueError, IndexError, ZeroDivisionError) as error:
        raise CertificateError(str(error)) from error


def _check(part: str, number: int) -> tuple[str, Fraction]:
    """One claim, or an error."""
    first, _, result_line, *lines = [line for line in part.split("\n") if line]
    name, _, kind = first.partition(": ")
    _hold(name == str(number) and kind in ("optimal", "conflict"), f"claim {number}: {first}")
    result = _number(result_line.removeprefix("result: "))
    senses, rhs, prices, places = [], [], [], 0
    while places < len(lines) and lines[places].startswith("row "):
        name, condition, price, _, _ = lines[places].removeprefix("row ").split(" | ")
        _hold(int(name) == places, f"row {name} stands at {places}")
        sense, _, number_text = condition.partition(" ")
        senses.append(sense)
        rhs.append(_number(number_text))
        prices.append(_number(price))
        _hold(sense in ("=", "<=", ">="), f"row {name}: {sense}")
        _hold(sense == "=" or (prices[-1] <= 0 if sense == "<=" else prices[-1] >= 0),
              f"row {name}: the price has the wrong sign")  # fmt: skip
        places += 1
    given = sum((b * y for b, y in zip(rhs, prices, strict=True)), Fraction(0))
    sums, spent = [Fraction(0)] * places, Fraction(0)
    for line in lines[places:]:
        _hold(line.startswith("column "), f"{line[:20]!r} is neither row nor column")
        cost_text, value_text, label, entries = line.removeprefix("column ").split(" | ")
        cost, value = _number(cost_text), _number(value_text if kind == "optimal" else "0")
        rest = cost if kind == "optimal" else Fraction(0)
        for entry in entries.split():
            row, _, number_text = entry.partition(":")
            _hold(row.isdecimal(), f"{label}: {row!r} is no row")
            coefficient = _number(number_text)
            rest -= coefficient * prices[int(row)]
            sums[int(row)] += coefficient * value
        _hold(value >= 0, f"{label}: below 0")
        _hold(rest >= 0, f"{label}: costs less than its rows give")
        spent += cost * value
    _hold(result == given, f"claim {number}: the rows give {given}, not {result}")
    if kind == "conflict":
        _hold(given > 0, f"claim {number}: no conflict")
        return kind, result
    for place, (total, sense, bound) in enumerate(zip(sums, senses, rhs, strict=True)):
        kept = (
            total == bound if sense == "=" else total <= bound if sense == "<=" else total >= bound
        )
        _hold(kept, f"row {place}: {total} is not {sense} {bound}")
    _hold(spent == result, f"claim {number}: the values cost {spent}, not {result}")
    return kind, result


def _number(text: str) -> Fraction:
    _hold(set(text) <= set("-/0123456789"), f"{text[:20]!r} is no fraction")
    return Fraction(text)


def _hold(true: bool, message: str) -> None:
    if not true:
        raise CertificateError(message)
