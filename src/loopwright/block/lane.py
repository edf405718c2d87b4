"""How many stations a full belt serves.

A belt passes `speed` carriers a second; a station uses or gives a number of carriers in each
cycle. The quotient, taken over a cycle, is the capacity: the stations that a belt without a gap
just serves. It is exact and seldom whole.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import ceil


def input_carriers(
    inputs: Mapping[str, int], stacks: Mapping[str, int] | Mapping[str, Fraction]
) -> dict[str, Fraction]:
    """Carriers of each input that one cycle uses [carriers].

    `inputs` [units] a cycle, `stacks` [units] on a carrier. Raises KeyError for a material
    without a stack.
    """
    return {material: units / Fraction(stacks[material]) for material, units in inputs.items()}


def output_carriers(
    outputs: Mapping[str, int], stacks: Mapping[str, int], batch_yield: Fraction, hand: int
) -> dict[str, Fraction]:
    """Carriers of each output that one cycle puts on the output belt [carriers].

    An outlet picker sets down what its hand holds, so a carrier never holds more than `hand`
    [units], and never more than the material's stack. Raises KeyError for a material without a
    stack.
    """
    return {
        material: units * batch_yield / min(stacks[material], hand)
        for material, units in outputs.items()
    }


def batch_carriers(
    outputs: Mapping[str, int], stacks: Mapping[str, int], batch_yield: Fraction, hand: int
) -> dict[str, Fraction]:
    """Carriers of each output that one cycle puts on the output belt at most [carriers].

    As `output_carriers`, but for a picker that is quicker than its station: it sets down what is
    left of a batch before the next one is there, so one carrier a batch may be part-full.
    """
    return {
        material: Fraction(ceil(Fraction(ceil(units * batch_yield), min(stacks[material], hand))))
        for material, units in outputs.items()
    }


def capacity(speed: Fraction, cycle: Fraction, carriers: Iterable[Fraction]) -> Fraction:
    """Stations that one full belt serves, c = speed x cycle / carriers used in a cycle.

    `speed` [carriers/s], `cycle` [s] with the station's speed in it, `carriers` of each material
    on this belt that a station uses (or gives) in a cycle. Raises ValueError where it uses none.
    """
    used = sum(carriers, Fraction(0))
    if used <= 0:
        raise ValueError("a station that uses nothing of a belt sets it no capacity")
    return speed * cycle / used
