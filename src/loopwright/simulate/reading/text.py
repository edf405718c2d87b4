"""Figures of readings as text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction


def rounded(value: Fraction | int, digits: int) -> str:
    """`value` with at most `digits` decimals, rounded half to even, without needless zeros."""
    scaled = round(Fraction(value) * 10**digits)
    sign = "-" if scaled < 0 else ""
    whole, rest = divmod(abs(scaled), 10**digits)
    decimals = f".{rest:0{digits}d}".rstrip("0").rstrip(".") if digits else ""
    return f"{sign}{whole}{decimals}"


def figure(value: Fraction | int) -> str:
    """A measured number with about four digits, such as 29.93, 148.9 or 0.125."""
    size = abs(Fraction(value))
    return rounded(value, 0 if size >= 1000 else 1 if size >= 100 else 2 if size >= 10 else 3)


def percent(share: Fraction | int) -> str:
    """A share, such as "31.2 %"; what is not 0 or all does not read so."""
    exact = Fraction(share)
    if Fraction(0) < exact < Fraction(1, 2000):
        return "under 0.1 %"
    if Fraction(1999, 2000) <= exact < 1:
        return "over 99.9 %"
    return f"{rounded(exact * 100, 1)} %"


def listed(words: Sequence[str]) -> str:
    """Words in a row: "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def by_material(counts: Mapping[str, int], all_of: Iterable[str] = ()) -> str:
    """Counts, such as "96 a, 32 b, no c"; `all_of` are named even where there is none."""
    whole = dict.fromkeys(all_of, 0) | dict(counts)
    return ", ".join(f"{count or 'no'} {material}" for material, count in whole.items())


def station_range(names: Sequence[str]) -> str:
    """Stations that follow each other, such as "stations 50-64" or "row 3 station 17"."""
    numbers = [re.findall(r"[0-9]+$", name) for name in names]
    if len(names) == 1:
        return names[0]
    if all(numbers) and all(name.rpartition(" ")[0].endswith("station") for name in names):
        return f"stations {numbers[0][0]}-{numbers[-1][0]}"
    return f"{names[0]} to {names[-1]}"
