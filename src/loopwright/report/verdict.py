"""Whether a run reached the rate that was asked."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.block import Block
from loopwright.plan import Plan
from loopwright.report.html import Html, element
from loopwright.report.number import NONE, amount, figure, percent
from loopwright.simulate.reading.count import read_run, warm_ticks
from loopwright.simulate.reading.limit import Limit, jammed, limits
from loopwright.simulate.reading.readings import Readings
from loopwright.simulate.reading.recovery import final_rate
from loopwright.simulate.run import Run

NEAR = Fraction(99, 100)
"""Share of the target from which a run counts as having met it nearly."""

WORDS = {
    "met": "target met",
    "near": "target met to within 1 %",
    "missed": "target missed",
    "back": "back to full rate",
    "lasting": "does not come back",
    "jammed": "jammed",
    "short": "too short to read",
}

SIGNS = {
    "met": "✓",
    "near": "≈",
    "missed": "✕",
    "back": "✓",
    "lasting": "✕",
    "jammed": "■",
    "short": NONE,
}


@dataclass(frozen=True, slots=True)
class Outcome:
    """A run with its readings, None where nothing is left after the warm-up.

    `state` is met, near, missed, jammed or short; for a run with outages, back or lasting in place
    of met, near and missed. `rate` and `target` [units/s] of `product`; `final` [units/s] is the
    rate in the last quarter, None where an outage reaches into it.
    """

    run: Run
    readings: Readings | None
    product: str
    rate: Fraction
    target: Fraction
    final: Fraction | None
    state: str
    limits: tuple[Limit, ...]

    @property
    def sentence(self) -> str:
        """The verdict with its numbers."""
        if self.readings is None:
            return "The run ended before its warm-up did, so there is nothing to read."
        measured = f"{figure(self.rate)} of {amount(self.target)} units/s"
        if self.run.scenario.outages and self.final is not None:
            share = percent(self.final / self.target)
            return f"{measured} with the outage in it; {share} in the last quarter of the run."
        if self.rate >= self.target:
            over = self.rate - self.target
            return measured + (f": {figure(over)}/s more than asked." if over else ", as asked.")
        short = self.target - self.rate
        return f"{measured}: {figure(short)}/s short ({percent(short / self.target)})."


def judge(run: Run, plan: Plan, block: Block) -> Outcome:
    """The outcome of `run` against what the plan asks of the block."""
    target = target_of(plan, block)
    if warm_ticks(run) >= run.ticks:
        return Outcome(run, None, block.product, Fraction(0), target, None, "short", ())
    readings = read_run(run)
    rate = readings.rates.get(block.product, Fraction(0))
    final = final_rate(run)
    state = "jammed" if jammed(run) else _state(run, rate, final, target)
    return Outcome(run, readings, block.product, rate, target, final, state, limits(run, target))


def _state(run: Run, rate: Fraction, final: Fraction | None, target: Fraction) -> str:
    if run.scenario.outages and final is not None:
        return "back" if final >= NEAR * target else "lasting"
    if rate >= target:
        return "met"
    return "near" if rate >= NEAR * target else "missed"


def target_of(plan: Plan, block: Block) -> Fraction:
    """What the block has to make of its product [units/s]."""
    return plan.material(block.product).made


def badge(state: str) -> Html:
    """The verdict in a word or two; told apart by text and sign, not by colour alone."""
    sign = SIGNS[state]
    text = element("span", sign, aria_hidden="true")
    return element("strong", text, " ", WORDS[state], class_=f"badge {state}")
