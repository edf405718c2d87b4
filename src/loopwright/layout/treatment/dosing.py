"""How many applicators a line takes, and what keeps them in agent."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from loopwright.layout.parts import Arm, Parts
from loopwright.model import Treatment


@dataclass(frozen=True, slots=True)
class Dosing:
    """A treatment as the applicators of one section give it: `arm` brings the agent from its belt,
    of which a carrier holds `load` units on the average."""

    treatment: Treatment
    parts: Parts
    arm: Arm
    load: Fraction

    @property
    def rate(self) -> Fraction:
        """What one applicator keeps marking [units/s]: no more than its arm brings agent for."""
        given = self.treatment
        if not given.dose:
            return given.rate
        brought = min(self.load, Fraction(self.arm.hand)) / self.arm.swing
        return min(given.rate, brought / given.dose)

    def count(self, material: str) -> int:
        """Applicators over a line: so many that they mark what a full belt carries past."""
        return ceil(self.parts.lane_speed * self.parts.loads[material] / self.rate)

    def cap(self, material: str) -> int:
        """Units of agent in a tank: what eight full carriers take, and two hands."""
        return ceil(8 * self.treatment.dose * self.parts.loads[material]) + 2 * self.arm.hand
