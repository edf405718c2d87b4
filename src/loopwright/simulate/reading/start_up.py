"""How long a run took to bring its first product, and to bring its full rate."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.simulate.pace import full_rate_bin
from loopwright.simulate.run import Run


@dataclass(frozen=True, slots=True)
class StartUp:
    """Times from the start of the run [s], in whole bins: the end of the bin with the first
    product, and of the first of the bins that bring the full rate; None: not in this run."""

    first_product: Fraction | None
    full_rate: Fraction | None


def start_up(run: Run, target: Fraction) -> StartUp:
    """When the first product came, and when `target` [units/s]; see `pace` for what is full."""
    units = product_units(run)
    width = run.scenario.bin
    first = next((index for index, count in enumerate(units) if count), None)
    full = full_rate_bin(units, width, target)
    return StartUp(
        None if first is None else min(width * (first + 1), run.ticks * run.tick),
        None if full is None else width * (full + 1),
    )


def product_units(run: Run) -> list[int]:
    """Units that all product drains took in each bin."""
    names = [drain.name for drain in run.layout.drains if drain.purpose == "product"]
    bins = [run.bins[name] for name in names]
    return [sum(sum(one.values()) for one in units) for units in zip(*bins, strict=True)]
