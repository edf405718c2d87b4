"""The plan: how much of everything, exactly."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Flow:
    """A rate [units/s] of one material into or out of a process."""

    material: str
    rate: Fraction


@dataclass(frozen=True, slots=True)
class ProcessPlan:
    """One process of the plan, with one treatment or with none ("").

    `cycles` [1/s] over all stations; `stations` exact and `whole`; `spare` [1/s] the cycles that
    the whole stations could do beyond that; `applicators` exact and `whole_applicators`; `power`
    [kW] and `effort` of what is whole. `makes` and `uses` are its flows, `premium` what one cycle a
    second would cost more than other ways do, at least (0 for what runs).
    """

    process: str
    station: str
    cycles: Fraction
    stations: Fraction
    whole: int
    power: Fraction
    effort: Fraction
    treatment: str = ""
    spare: Fraction = Fraction(0)
    applicators: Fraction = Fraction(0)
    whole_applicators: int = 0
    makes: tuple[Flow, ...] = ()
    uses: tuple[Flow, ...] = ()
    premium: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class MaterialPlan:
    """One material of the plan; all rates [units/s].

    `made` + `imported` + `drawn` = `used` + `demanded` + `surplus`. `value` is what one more
    unit a second would cost, anywhere on the site.
    """

    material: str
    made: Fraction
    imported: Fraction
    used: Fraction
    demanded: Fraction
    surplus: Fraction
    drawn: Fraction = Fraction(0)
    value: Fraction = Fraction(0)

    @property
    def flow(self) -> Fraction:
        """What has to be carried [units/s]."""
        return self.made + self.imported + self.drawn


@dataclass(frozen=True, slots=True)
class BeltNeed:
    """Belts of one kind that `material` fills at `stack` units a carrier, exact."""

    material: str
    belt: str
    stack: int
    belts: Fraction


@dataclass(frozen=True, slots=True)
class LimitUse:
    """One limit of the project file, at key path `path`, and how much of it is used.

    `kind` is demand, stations, docks, deposit, least, most, surplus or, where whole stations of a
    limited kind are divided among processes, share; `limit` and `used` are in units/s, in stations
    or, for least and most, in cycles/s. `price` is what one more of the limit
    changes the cost by; `gain` [units/s] what it gives of a product that is maximised, else None.
    """

    kind: str
    name: str
    path: str
    limit: Fraction
    used: Fraction
    price: Fraction
    gain: Fraction | None = None

    @property
    def binds(self) -> bool:
        """Whether the plan would be cheaper, or larger, with another limit."""
        return self.price != 0 or bool(self.gain)


@dataclass(frozen=True, slots=True)
class TreatmentPlan:
    """One treatment at work: units marked and agent spent [units/s].

    `saving` is what the plan would cost more without it; None where there is none without it.
    """

    treatment: str
    marked: Fraction
    agent: str
    spent: Fraction
    saving: Fraction | None


@dataclass(frozen=True, slots=True)
class Headroom:
    """How far the whole demand could grow, as a factor, and the key paths of what then binds."""

    factor: Fraction
    paths: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Rates of a whole project. Processes stand downstream first (products before parts).

    `power` [kW] and `effort` are those of whole stations and applicators. `cost` is the sum that
    the objective keeps small, of exact stations. `headroom` is None where nothing limits the
    demand, or where a product is `maximised` (else "").
    """

    processes: tuple[ProcessPlan, ...]
    materials: tuple[MaterialPlan, ...]
    belts: tuple[BeltNeed, ...]
    power: Fraction
    effort: Fraction
    cost: Fraction = Fraction(0)
    limits: tuple[LimitUse, ...] = ()
    treatments: tuple[TreatmentPlan, ...] = ()
    headroom: Headroom | None = None
    maximised: str = ""

    def process(self, name: str) -> ProcessPlan:
        """The entry of one process, of its busiest way where it runs in several.

        Raises KeyError where it is not in the plan.
        """
        entries = [entry for entry in self.processes if entry.process == name]
        if not entries:
            raise KeyError(name)
        return max(entries, key=lambda entry: entry.cycles)

    def material(self, name: str) -> MaterialPlan:
        """The entry of one material. Raises KeyError where it is not in the plan."""
        return {entry.material: entry for entry in self.materials}[name]
