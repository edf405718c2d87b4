"""How much more than it uses has to come by a row, so that its last stations lose less than 1 %.

The figures are measured, with three tenths of all picks missed and cycles up to 30 % longer or
shorter: `verification/surplus.txt`.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

LOOP, PASS = "loop", "pass"

_PERCENT: Mapping[tuple[str, int, str], tuple[int | None, int | None]] = {
    (PASS, 1, "units"): (5, 5),
    (PASS, 2, "units"): (10, 5),
    (PASS, 2, "whole"): (10, 5),
    (PASS, 4, "units"): (10, 5),
    (PASS, 4, "whole"): (20, 20),
    (LOOP, 1, "units"): (10, 5),
    (LOOP, 2, "units"): (40, 10),
    (LOOP, 2, "whole"): (40, 20),
    (LOOP, 4, "units"): (None, 40),
    (LOOP, 4, "whole"): (None, None),
}
"""Surplus by what feeds the row, units on a carrier and what pickers take, with 2 and with 4
cycles held at a station; None where more than 40 % is needed, the most that was tried."""

MOST = Fraction(2, 5)
"""The largest surplus that was tried."""


def surplus_needed(fed: str, load: int, takes: str, batches: int) -> Fraction | None:
    """The surplus for a row on a loop or a pass with `load` units on a carrier and `batches` cycles
    held at a station; None where it is more than `MOST`. Between two rows of the table the one that
    asks for more holds; beyond its end none does, and the last is taken."""
    known = sorted({units for way, units, _ in _PERCENT if way == fed})
    units = next((one for one in known if one >= load), known[-1])
    picks = "whole" if takes == "carriers" and units > 1 else "units"
    two, four = _PERCENT[fed, units, picks]
    found = four if batches >= 4 else two
    return None if found is None else Fraction(found, 100)


def sure_surplus(batches: int) -> Fraction | None:
    """The surplus with which no station can run dry: (b + 1) / (b - 1); None with one cycle."""
    return Fraction(batches + 1, batches - 1) if batches > 1 else None
