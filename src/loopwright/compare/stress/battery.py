"""All rows of a battery: the table, and what it says in the end."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from io import StringIO
from typing import TYPE_CHECKING, Any

from loopwright.compare.stress.case import (
    CALM,
    FOREIGN,
    JITTER,
    LATE,
    MIX,
    OUTAGE,
    REMOVED,
    SHORTAGE,
    Case,
)
from loopwright.simulate.reading.document import plain
from loopwright.simulate.reading.text import figure, percent

if TYPE_CHECKING:
    from loopwright.compare.stress.measure import Row

HEADS = ("what is done", "rate during", "rate after", "back after", "loops that stand")
CLOSE = Fraction(99, 100)
"""Share of the undisturbed rate that counts as come back."""


@dataclass(frozen=True, slots=True)
class Battery:
    """`rows` of those of `cases` that were finished, in the same order."""

    cases: tuple[Case, ...]
    rows: tuple[Row, ...]

    @property
    def whole(self) -> bool:
        """Whether every case was finished."""
        return len(self.rows) == len(self.cases)

    @property
    def standard(self) -> Fraction:
        """The undisturbed rate, as a share of what all stations can make; 1 if not run."""
        return next((row.after for row in self.rows if row.case.kind == CALM), Fraction(1))

    @property
    def jams(self) -> tuple[Row, ...]:
        """Rows after which a loop stands for good."""
        return tuple(row for row in self.rows if row.jams)

    @property
    def losses(self) -> tuple[Row, ...]:
        """Rows that stay more than 1 % below the undisturbed rate."""
        return tuple(row for row in self.rows if row.after < CLOSE * self.standard)

    def table(self) -> list[tuple[str, ...]]:
        """A row a case, in the order of `HEADS`."""
        return [
            (
                case_text(row.case),
                percent(row.during),
                percent(row.after),
                "not seen" if row.time is None else f"{figure(row.time)} s",
                _stand(row.jams),
            )
            for row in self.rows
        ]

    def csv(self) -> str:
        """The rows for other programs: exact numbers, shares of what all stations can make."""
        text = StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(("kind", "material", "span", "share", "during", "after", "time", "jams"))
        for row in self.rows:
            case = row.case
            time = "" if row.time is None else str(row.time)
            told = (case.kind, case.material, str(case.span), str(case.share))
            writer.writerow((*told, str(row.during), str(row.after), time, "; ".join(row.jams)))
        return text.getvalue()

    def document(self) -> dict[str, Any]:
        """All rows for other programs: exact numbers as text."""
        return {
            "whole": self.whole,
            "standard": str(self.standard),
            "cases": [plain(case) for case in self.cases],
            "rows": [plain(row) for row in self.rows],
        }

    def sentences(self) -> Iterator[str]:
        """What it comes to."""
        if not self.whole:
            yield f"Interrupted: {len(self.rows)} of {len(self.cases)} cases were finished."
        yield (
            f"{len(self.jams)} of {len(self.rows)} cases end in a jam; {len(self.losses)} stay "
            f"more than 1 % below the undisturbed rate of {percent(self.standard)}."
        )


def case_text(case: Case) -> str:
    """What is done, in words."""
    share, span = percent(case.share), figure(case.span)
    told = {
        LATE: f"{share} of picks missed for {span} s",
        JITTER: f"cycles +-{share} for {span} s",
        OUTAGE: f"no {case.material} for {span} s",
        SHORTAGE: f"{share} of {case.material} for {span} s",
        MIX: f"starts with {case.material} only",
        REMOVED: f"a carrier of {case.material} taken off each loop",
        FOREIGN: f"a carrier of {case.material} put on each loop",
    }
    return told.get(case.kind, case.kind)


def _stand(names: tuple[str, ...]) -> str:
    more = f" and {len(names) - 2} more" if len(names) > 2 else ""
    return ", ".join(names[:2]) + more or "-"
