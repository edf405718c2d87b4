"""One answer of a law about a loop, with what was measured beside it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Law:
    """What a law of docs/theory/laws.md says of one loop.

    `topic` names the law, `subject` the material it speaks of, empty where it speaks of the whole
    loop. `value` is in `unit`; None says that there is no bound. `because` is the formula with the
    numbers of the loop in it. `measured`, in the same unit, is what the run told in `run` gave.
    """

    topic: str
    subject: str
    value: Fraction | None
    unit: str
    because: str
    measured: Fraction | None = None
    run: str = ""
