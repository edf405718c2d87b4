"""One design of a study -> what it takes, what it makes, and what it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from loopwright.compare.price import Price, price_design
from loopwright.compare.study import Variant
from loopwright.finding import DesignError
from loopwright.layout import Design, design_project
from loopwright.prove.prove import prove_loops
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import NO_DISTURBANCES, Disturbances, Missed
from loopwright.simulate.reading.count import read_run
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Outage, Scenario

SETTLE, READ = Fraction(2400), Fraction(600)
"""All runs start primed, go on for so long, and then have their rate read [s]."""

OUTAGE_AT, OUTAGE_SPAN = Fraction(600), Fraction(120)
"""When supplies go away, one after the other in runs of their own, and for how long [s]."""

MISSED = Fraction(1, 10)
"""The share of picks that is missed in the run of late pickers."""

WORST_FIRST = ("refuted", "undecided", "proved")


@dataclass(frozen=True, slots=True)
class Figures:
    """What a design is and does.

    `target` is the planned rate of the product [units/s], and `made` that of an undisturbed run;
    `late` is the rate of a run in which every picker misses a tenth of its picks; `after` is the
    lowest of the rates long after each supplied material was away, `worst` that material; all are
    read in the same stretch of time. `jams` are materials whose outage leaves a loop standing for
    good. `safe` and `returns` are the worst answers of all loops to both questions of a proof,
    empty without loops.
    """

    price: Price
    target: Fraction
    made: Fraction
    late: Fraction
    after: Fraction
    worst: str
    jams: tuple[str, ...]
    safe: str
    returns: str

    def share(self, rate: Fraction) -> Fraction:
        """`rate` as a part of what is asked for."""
        return rate / self.target if self.target else Fraction(1)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of `variant`: its figures, or why it cannot be built."""

    variant: Variant
    figures: Figures | None
    refusal: str = ""


def measure_design(variant: Variant) -> Outcome:
    """Design `variant`, count it, prove its loops and run it.

    Raises
    ------
    KeyboardInterrupt
        Somebody stopped a run.
    """
    try:
        design = design_project(variant.project)
    except DesignError as error:
        return Outcome(variant, None, error.findings[0].message)
    return Outcome(variant, _figures(design))


def _figures(design: Design) -> Figures:
    layout = design.layout
    answers = [verdict.outcome for verdict in prove_loops(layout, runs=False)]
    late = Disturbances(missed=tuple(Missed(one.name, MISSED) for one in layout.pickers))
    made = _rate(_run(design))
    ends = {name: _run(design, missing=name) for name in dict.fromkeys(_supplied(design))}
    rates = {name: _rate(run) for name, run in ends.items()}
    worst = min(rates, key=rates.__getitem__, default="")
    return Figures(
        price=price_design(design),
        target=design.target,
        made=made,
        late=_rate(_run(design, told=late)),
        after=rates.get(worst, made),
        worst=worst,
        jams=tuple(name for name, run in ends.items() if _stands(run)),
        safe=_worst(answers[::2]),
        returns=_worst(answers[1::2]),
    )


def _supplied(design: Design) -> list[str]:
    return [source.material for source in design.layout.sources]


def _run(design: Design, missing: str = "", told: Disturbances = NO_DISTURBANCES) -> Run:
    """A run from primed, with all docks of `missing` stopped for a time."""
    outages = tuple(
        Outage(source.name, OUTAGE_AT, OUTAGE_SPAN)
        for source in design.layout.sources
        if source.material == missing
    )
    scenario = Scenario(
        "compare", "primed", SETTLE + READ, SETTLE, READ, outages, disturbances=told
    )
    run = simulate_layout(design.layout, scenario)
    if run.ended == "interrupted":
        raise KeyboardInterrupt
    return run


def _rate(run: Run) -> Fraction:
    return read_run(run).rate


def _stands(run: Run) -> bool:
    return any(is_stuck(run.layout, ring, run.end) for ring in find_rings(run.layout))


def _worst(answers: Sequence[str]) -> str:
    return next((answer for answer in WORST_FIRST if answer in answers), "")
