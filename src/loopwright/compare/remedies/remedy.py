"""What would make every loop of a design safe: changes, tried out, proved and priced."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from loopwright.compare.change import Change
from loopwright.compare.change import changed as changed_project
from loopwright.compare.price import Price, price_design
from loopwright.compare.remedies.offer import Offer
from loopwright.compare.stress.case import LATE, LONG_SPAN, MISSED, Case
from loopwright.compare.stress.measure import measure_case, rate_from_empty
from loopwright.finding import DesignError
from loopwright.layout import design_project
from loopwright.model import Project
from loopwright.prove.prove import prove_loops
from loopwright.simulate.reading.document import plain


@dataclass(frozen=True, slots=True)
class Remedy:
    """One `change` tried, and `why` it was.

    `outcomes` are the answers of all loops, two each: cannot jam, returns to full rate. `started`
    and `late` are rates as shares of what all stations can make: from an empty start, and while
    three tenths of all picks are missed. `price` is None and `refusal` says why where such a design
    cannot be built.
    """

    change: Change
    why: str
    outcomes: tuple[tuple[str, str], ...]
    price: Price | None
    started: Fraction = Fraction(0)
    late: Fraction = Fraction(0)
    refusal: str = ""

    @property
    def green(self) -> bool:
        """Whether both is proved of every loop, or there are none."""
        return self.price is not None and all(one == ("proved", "proved") for one in self.outcomes)


def try_remedies(project: Project, offer: Offer) -> Iterator[Remedy]:
    """The project as it is, then what is offered, in the order of preference."""
    yield try_change(project, Change())
    for candidate in offer.candidates:
        yield try_change(project, candidate.change, candidate.why)


def remedies_document(tried: Iterable[Remedy], advice: Iterable[str]) -> dict[str, Any]:
    """What was tried, and what else would help, for other programs."""
    told = [plain(one) | {"told": str(one.change), "green": one.green} for one in tried]
    return {"tried": told, "advice": list(advice)}


def try_change(project: Project, change: Change, why: str = "") -> Remedy:
    """The design with `change`: planned, placed, proved, priced and run."""
    after = changed_project(project, change)
    try:
        design = design_project(after)
    except DesignError as error:
        return Remedy(change, why, (), None, refusal=error.findings[0].message)
    verdicts = prove_loops(design.layout, runs=not change.edits)
    answers = [verdict.outcome for verdict in verdicts]
    late = Case(LATE, "", LONG_SPAN, MISSED[0])
    return Remedy(
        change,
        why,
        tuple(zip(answers[::2], answers[1::2], strict=True)),
        price_design(design),
        rate_from_empty(design.layout),
        measure_case(design.layout, late).during,
    )
