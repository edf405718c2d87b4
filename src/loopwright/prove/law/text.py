"""Laws as a table for people."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from loopwright.prove.law.law import Law
from loopwright.simulate.reading.text import figure

HEADS = ("law", "of", "predicted", "measured", "because")


def law_rows(laws: Sequence[Law]) -> list[tuple[str, str, str, str, str]]:
    """A row a law, in the order of `HEADS`."""
    return [
        (
            law.topic,
            law.subject or "the loop",
            value_text(law.value, law.unit),
            "-" if law.measured is None else f"{value_text(law.measured, law.unit)} ({law.run})",
            law.because,
        )
        for law in laws
    ]


def value_text(value: Fraction | None, unit: str) -> str:
    """A value with its unit; shares in percent. A span without a bound is any, a share without a
    law a stroke."""
    if value is None:
        return "-" if unit == "share" else "any"
    if unit == "share":
        return f"{figure(value * 100)} %"
    return figure(value) if unit == "ratio" else f"{figure(value)} {unit}"
