"""Runs of scenarios: readings of each, and its rate over time as a chart."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from loopwright.drawing import rate_chart
from loopwright.simulate import simulate_layout
from loopwright.simulate.reading.document import run_document
from loopwright.simulate.reading.start_up import product_units
from loopwright.simulate.reading.target import target_met
from loopwright.simulate.run import Run
from loopwright.studio.laid import Laid
from loopwright.studio.options import SimulateOptions
from loopwright.studio.work.task import Task, scenarios_of


def run(task: Task) -> None:
    """Run all scenarios asked for, each as often as asked for."""
    laid, options = task.lay(), task.read_options(SimulateOptions)
    span = None if options.hours is None else options.hours * 3600
    orders = [
        replace(scenario, seed=(scenario.seed if options.seed is None else options.seed) + number)
        for scenario in scenarios_of(laid, options.scenarios, span)
        for number in range(options.replications)
    ]
    runs: list[dict[str, Any]] = []
    for number, scenario in enumerate(orders):
        first, last = number / len(orders), (number + 1) / len(orders)
        show = task.part(f"simulating {scenario.name}", first, last)
        made = simulate_layout(laid.layout, scenario, progress=show)
        runs.append(read_off(laid, made, f"lw-rate-{number}"))
        task.result("run", laid, {"runs": runs})
        if made.ended == "interrupted":
            break


def read_off(laid: Laid, run: Run, prefix: str) -> dict[str, Any]:
    """The document of one run, whether it met its target, and its rate over time."""
    target = laid.target
    width = run.scenario.bin
    units = product_units(run)
    whole = int(run.ticks * run.tick / width)  # the last bin may be cut short
    rates = [float(Fraction(count) / width) for count in units[:whole]]
    times = [float(width * number) for number in range(1, len(rates) + 1)]
    document = run_document(run, target)
    if run.ticks * run.tick > run.scenario.warm_up:
        document["met"] = target_met(run, target)
    chart = rate_chart(times, rates, float(target), theme="page", prefix=prefix)
    return document | {"series": {"times": times, "rates": rates}, "chart": chart}
