"""The plan: how much of everything, exactly."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class ProcessPlan:
    """One process of the plan.

    `cycles` [1/s] over all stations; `stations` exact and `whole` (rounded up); `power` [kW] and
    `effort` of the whole stations.
    """

    process: str
    station: str
    cycles: Fraction
    stations: Fraction
    whole: int
    power: Fraction
    effort: Fraction


@dataclass(frozen=True, slots=True)
class MaterialPlan:
    """One material of the plan; all rates [units/s].

    `made` + `imported` = `used` + `demanded` + `surplus`.
    """

    material: str
    made: Fraction
    imported: Fraction
    used: Fraction
    demanded: Fraction
    surplus: Fraction

    @property
    def flow(self) -> Fraction:
        """What has to be carried [units/s]."""
        return self.made + self.imported


@dataclass(frozen=True, slots=True)
class BeltNeed:
    """Belts of one kind that `material` fills at `stack` units a carrier, exact."""

    material: str
    belt: str
    stack: int
    belts: Fraction


@dataclass(frozen=True, slots=True)
class Plan:
    """Rates of a whole project. Processes stand downstream first (products before parts)."""

    processes: tuple[ProcessPlan, ...]
    materials: tuple[MaterialPlan, ...]
    belts: tuple[BeltNeed, ...]
    power: Fraction
    effort: Fraction

    def process(self, name: str) -> ProcessPlan:
        """The entry of one process. Raises KeyError where it is not in the plan."""
        return {entry.process: entry for entry in self.processes}[name]

    def material(self, name: str) -> MaterialPlan:
        """The entry of one material. Raises KeyError where it is not in the plan."""
        return {entry.material: entry for entry in self.materials}[name]
