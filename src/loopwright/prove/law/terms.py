"""The figures of a loop that the laws are made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.prove.ring import Need, Ring


@dataclass(frozen=True, slots=True)
class Terms:
    """`stations` alike on a loop of `places` (L - 1) at `speed` [cells/s]; a cycle takes `steps` of
    the belts. `needs` and `loads` [units on a fresh carrier] are by input, `reach` [cells] is the
    mean way from the gate to a picker."""

    stations: int
    places: int
    speed: Fraction
    steps: Fraction
    needs: Mapping[str, Need]
    loads: Mapping[str, int]
    reach: Fraction

    @property
    def batch(self) -> int:
        """S: units that one cycle takes, of all inputs together."""
        return sum(need.amount for need in self.needs.values())

    @property
    def load(self) -> Fraction:
        """rho: the part of the belt that the row needs, with full carriers."""
        return sum((self.carriers(name) for name in self.needs), Fraction(0))

    @property
    def single(self) -> bool:
        """Whether each carrier holds one unit, so that none is ever part-used."""
        return all(load == 1 for load in self.loads.values())

    def carriers(self, material: str) -> Fraction:
        """Full carriers of `material` that all stations use in a step."""
        return self.use(material) / self.loads[material]

    def use(self, material: str) -> Fraction:
        """lambda: units of `material` that all stations use in a step."""
        return self.needs[material].amount * self.stations / self.steps

    def held(self, *, without: str | None = None) -> int:
        """Units in all buffers when full, of all inputs but one."""
        caps = (need.cap for name, need in self.needs.items() if name != without)
        return self.stations * sum(caps)


def terms_of(ring: Ring) -> Terms | None:
    """The figures of `ring`; None where the laws do not speak of it.

    They speak of a closed loop of belts of one speed, entered by its gate alone, whose stations are
    alike and get all their inputs, and nothing else, from pure supplies on the loop.
    """
    kinds = {(d.recipe, d.usual, d.needs) for d in ring.drawers}
    wanted = {need.material for drawer in ring.drawers for need in drawer.needs}
    loads = {feed.material: feed.load for feed in ring.feeds if feed.material is not None}
    if (
        ring.kind != "loop"
        or ring.speed is None
        or ring.gate is None
        or ring.strangers
        or ring.exits
        or ring.waste
        or len(kinds) != 1
        or wanted != set(ring.materials)
        or wanted != set(loads)
        or len(loads) != len(ring.feeds)
    ):
        return None
    drawer = ring.drawers[0]
    starts = dict(zip(ring.belts, _starts(ring), strict=True))
    ways = [starts[tap.belt] + tap.index for tap in ring.taps]
    return Terms(
        stations=len(ring.drawers),
        places=ring.cells - 1,
        speed=ring.speed,
        steps=drawer.usual * ring.speed,
        needs={need.material: need for need in drawer.needs},
        loads={need.material: loads[need.material] for need in drawer.needs},
        reach=Fraction(sum(ways), len(ways)),
    )


def _starts(ring: Ring) -> list[int]:
    """Cells from the gate to the tail of each belt."""
    return [sum(ring.lengths[:number]) for number in range(len(ring.lengths))]
