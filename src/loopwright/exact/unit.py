"""Units as people write them; inside the program every quantity is in its base unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

_TIME = {"ms": Fraction(1, 1000), "s": Fraction(1), "min": Fraction(60), "h": Fraction(3600)}


@dataclass(frozen=True, slots=True)
class Unit:
    """One kind of quantity.

    `base` is the unit inside the program, `noun` what is measured, `factors` the base units in
    one of each spelling, `shown` the spellings named in messages, `example` a text that reads.
    """

    base: str
    noun: str
    factors: Mapping[str, Fraction]
    shown: tuple[str, ...]
    example: str


def _per_time(*nouns: str) -> dict[str, Fraction]:
    spans = {"s": Fraction(1), "min": Fraction(60), "h": Fraction(3600)}
    return {f"{noun}/{span}": 1 / size for noun in nouns for span, size in spans.items()}


def _table() -> dict[str, Unit]:
    number = Unit("", "a plain number", {"": Fraction(1)}, (), "5/4")
    time = Unit("s", "a time", _TIME, ("ms", "s", "min", "h"), "16/3 s")
    rate = Unit(
        "units/s",
        "a rate",
        _per_time("", "unit", "units"),
        ("/s", "/min", "/h", "units/s"),
        "9000/min",
    )
    speed = Unit(
        "carriers/s",
        "a belt speed",
        _per_time("carrier", "carriers", "cell", "cells", ""),
        ("carriers/s", "carriers/min", "cells/s", "/s"),
        "7.5 carriers/s",
    )
    power = Unit(
        "kW",
        "a power",
        {"W": Fraction(1, 1000), "kW": Fraction(1), "MW": Fraction(1000)},
        ("W", "kW", "MW"),
        "75 kW",
    )
    length = Unit(
        "m",
        "a length",
        {"mm": Fraction(1, 1000), "cm": Fraction(1, 100), "m": Fraction(1)},
        ("mm", "cm", "m"),
        "1.2 m",
    )
    return {unit.base: unit for unit in (number, time, rate, speed, power, length)}


UNITS: Mapping[str, Unit] = _table()
"""Every unit of the program by its base: "", s, units/s, carriers/s, kW, m."""
