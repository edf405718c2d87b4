"""All designs of a study side by side: the table, which are the best, and what they save."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from io import StringIO
from typing import TYPE_CHECKING, Any

from loopwright.simulate.reading.document import plain
from loopwright.simulate.reading.text import figure, percent

if TYPE_CHECKING:
    from loopwright.compare.design import Figures, Outcome
    from loopwright.compare.study import Study

CLOSE = Fraction(99, 100)
"""Share that counts as made, or as come back."""

MEASURES: dict[str, Callable[[Figures], Fraction]] = {
    "effort": lambda one: one.price.effort,
    "floor": lambda one: Fraction(one.price.floor),
    "power": lambda one: one.price.power,
    "pickers": lambda one: Fraction(one.price.pickers),
    "cells": lambda one: Fraction(one.price.cells),
    "stations": lambda one: Fraction(one.price.stations),
}
"""What may be had for less, each with where it stands."""

UNITS = {"floor": "cells", "power": "kW", "cells": "belt cells"}
"""Units of measures, where their name does not say it."""

HEADS = (
    "", "design", "made", "late picks", "after outage", "cannot jam", "returns", "stations",
    "pickers", "belt cells", "bridges", "docks", "floor", "effort", "kW", "drained",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Comparison:
    """`outcomes` of those designs of `study` that were finished, in the same order."""

    study: Study
    outcomes: tuple[Outcome, ...]

    @property
    def whole(self) -> bool:
        """Whether every design was finished."""
        return len(self.outcomes) == len(self.study.variants)

    @property
    def sound(self) -> tuple[Outcome, ...]:
        """Designs that make the rate to within 1 %, and whose loops come back from outages."""
        return tuple(one for one in self.outcomes if one.figures and is_sound(one.figures))

    def front(self, first: str, second: str) -> tuple[Outcome, ...]:
        """The sound designs of which no other is as good in both measures and better in one, by
        the first measure.

        Raises
        ------
        KeyError
            No such measure.
        """
        key, other = MEASURES[first], MEASURES[second]

        def place(one: Outcome) -> tuple[Fraction, Fraction]:
            assert one.figures is not None
            return key(one.figures), other(one.figures)

        front: list[Outcome] = []
        for one in sorted(self.sound, key=place):
            if not front or place(one)[1] < place(front[-1])[1] or place(one) == place(front[-1]):
                front.append(one)
        return tuple(front)

    def table(self) -> list[tuple[str, ...]]:
        """A row a design, in the order of `HEADS`."""
        return [(one.variant.letter, one.variant.told, *_row(one.figures)) for one in self.outcomes]

    def csv(self) -> str:
        """The rows for other programs: exact numbers."""
        text = StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(
            (
                "letter", "design", "refusal", "target", "made", "late", "after", "worst", "jams",
                "safe", "returns", *_COUNTED,
            )
        )  # fmt: skip
        for one in self.outcomes:
            head = (one.variant.letter, one.variant.told, one.refusal)
            writer.writerow((*head, *(_exact(one.figures) if one.figures else ())))
        return text.getvalue()

    def document(self) -> dict[str, Any]:
        """All rows for other programs: exact numbers as text."""
        return {
            "whole": self.whole,
            "designs": [
                {
                    "letter": one.variant.letter,
                    "told": one.variant.told,
                    "refusal": one.refusal,
                    "sound": one in self.sound,
                    "figures": plain(one.figures) if one.figures else None,
                }
                for one in self.outcomes
            ],
        }

    def sentences(self) -> Iterator[str]:
        """What it comes to."""
        if not self.whole:
            done, all_ = len(self.outcomes), len(self.study.variants)
            yield f"Interrupted: {done} of {all_} designs were finished."
        for one in self.outcomes:
            if one.refusal:
                yield f"{one.variant.letter} cannot be built: {one.refusal}."
            elif one.figures and one.figures.jams:
                *some, last = one.figures.jams
                lost = f"{', '.join(some)} or {last}" if some else last
                yield f"{one.variant.letter}: a loop stands for good after an outage of {lost}."
        if not self.sound:
            yield "No design makes the rate and comes back from outages."
            return
        names = ", ".join(one.variant.letter for one in self.sound)
        yield f"Make the rate to within 1 % and come back from every outage: {names}."
        if len(self.sound) > 1:
            yield from self._best()

    def _best(self) -> Iterator[str]:
        for name, measure in MEASURES.items():
            values = {one.variant.letter: measure(one.figures) for one in self.sound if one.figures}
            least, most = min(values.values()), max(values.values())
            if least == most:
                continue
            unit = f" {UNITS[name]}" if name in UNITS else ""
            best = ", ".join(letter for letter, value in values.items() if value == least)
            worst = ", ".join(letter for letter, value in values.items() if value == most)
            more = f", {percent(most / least - 1)} more" if least else ""
            yield f"Least {name}: {best} with {figure(least)}{unit}; most: {worst}{more}."


def is_sound(figures: Figures) -> bool:
    """Whether a design makes its rate to within 1 %, and comes back to it."""
    made = figures.share(figures.made) >= CLOSE
    return made and figures.after >= CLOSE * figures.made and not figures.jams


_COUNTED = (
    "stations", "pickers", "gates", "rows", "cells", "bridges", "docks", "floor", "effort",
    "power", "waste",
)  # fmt: skip


def _exact(one: Figures) -> tuple[str, ...]:
    told = (one.target, one.made, one.late, one.after, one.worst, "; ".join(one.jams))
    counted = (getattr(one.price, name) for name in _COUNTED)
    return tuple(map(str, (*told, one.safe, one.returns, *counted)))


def _row(one: Figures | None) -> tuple[str, ...]:
    if one is None:
        return ("-",) * (len(HEADS) - 2)
    price = one.price
    return (
        percent(one.share(one.made)),
        percent(one.share(one.late)),
        "jams" if one.jams else percent(one.share(one.after)),
        one.safe or "no loops",
        one.returns or "no loops",
        *(
            figure(number)
            for number in (
                price.stations, price.pickers, price.cells, price.bridges, price.docks,
                price.floor, price.effort, price.power,
            )
        ),
        percent(price.waste) if price.waste else "-",
    )  # fmt: skip
