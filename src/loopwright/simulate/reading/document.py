"""Everything that is read off a run, as one document for programs and for the files of a run."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any, cast

from pydantic import TypeAdapter

from loopwright.simulate.reading.bottleneck import bottleneck
from loopwright.simulate.reading.count import read_run, warm_samples
from loopwright.simulate.reading.drift import drifts
from loopwright.simulate.reading.effectiveness import row_effectiveness
from loopwright.simulate.reading.interval import batch_interval
from loopwright.simulate.reading.limit import jammed, limits
from loopwright.simulate.reading.recovery import final_rate
from loopwright.simulate.reading.start_up import product_units, start_up
from loopwright.simulate.run import Run


def run_document(run: Run, target: Fraction) -> dict[str, Any]:
    """Readings and limits of one run; `target` [units/s]. Exact numbers are text such as "16/3".

    A run that was stopped in its warm-up has no `readings`, `limits` nor what follows from them.
    """
    head = {
        "scenario": plain(run.scenario),
        "tick": str(run.tick),
        "ticks": run.ticks,
        "breaks": list(run.breaks),
        "ended": run.ended,
        "target": str(target),
        "start_up": plain(start_up(run, target)),
        "truncation": None if run.truncation is None else plain(run.truncation),
        "jammed": jammed(run),
    }
    if run.ticks <= -(-run.scenario.warm_up // run.tick):
        return head
    readings = read_run(run)
    after = final_rate(run)
    found = bottleneck(run)
    told = [] if found is None else [found.sentence]
    told += [drift.sentence for drift in drifts(run)]
    width = run.scenario.bin
    rates = [Fraction(units) / width for units in product_units(run)[warm_samples(run) :]]
    if run.ticks * run.tick % width:
        rates = rates[:-1]  # the last bin was cut short
    interval = None if run.scenario.outages else batch_interval(rates)
    return head | {
        "rate": str(readings.rate),
        "final_rate": None if after is None else str(after),
        "interval": None
        if interval is None
        else plain(interval) | {"correlated": interval.correlated},
        "limits": [plain(limit) for limit in limits(run, target)],
        "notes": told,
        "bottleneck": None if found is None else plain(found),
        "effectiveness": [
            plain(one) | {"overall": str(one.overall)} for one in row_effectiveness(run, readings)
        ],
        "readings": plain(readings),
    }


def plain(noun: Any) -> dict[str, Any]:
    """The JSON-ready form of a frozen noun."""
    document: dict[str, Any] = _adapter(cast(Any, type(noun))).dump_python(noun, mode="json")
    return document


@cache
def _adapter(kind: Any) -> TypeAdapter[object]:
    return TypeAdapter(kind)
