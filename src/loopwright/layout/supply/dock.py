"""The docks of a site: how many whole or part belts of each material there are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from loopwright.block.block import Block
from loopwright.finding import DesignError, new_finding
from loopwright.layout.drained import DRAINED, fresh_share
from loopwright.layout.parts import Parts
from loopwright.layout.supply.entry import Entry
from loopwright.model import Project


def demand_of(entry: Entry, block: Block, parts: Parts) -> Fraction:
    """What an entry takes, as a share of a belt: what its stations need; or its share of all that
    is fresh on a lane, in a pass block and where loops are drained."""
    share = Fraction(dict(parts.shares)[entry.material], sum(dict(parts.shares).values()))
    if block.architecture == "pass":
        return share * block.net_rate
    if block.architecture == "loop" and block.gate == DRAINED:
        return share * fresh_share(parts, entry.stations)
    count = dict(parts.recipe.inputs)[entry.material]
    carriers = count * entry.stations / parts.carried[entry.material]
    return carriers / (parts.cycle * parts.lane_speed)


@dataclass(slots=True)
class DockYard:
    """Hands out docks, as shares of a belt: those of the project, of which `planned` are asked, or
    whole belts without end, as many as `belts` asks."""

    given: dict[str, list[Fraction]]
    planned: dict[str, Fraction]
    belts: dict[str, Fraction]

    def take(self, material: str, part: Fraction) -> list[Fraction]:
        """Docks for `part` of all that the block takes of a material.

        Raises
        ------
        DesignError
            LW425: the project's docks do not go round the columns of rows.
        """
        if material not in self.given:
            return [Fraction(1)] * max(1, ceil(self.belts[material] * part))
        needed = self.planned[material] * part
        taken: list[Fraction] = []
        while sum(taken) < needed:
            if not self.given[material]:
                message = f"the docks of {material} do not go round the columns of rows"
                raise DesignError((new_finding("LW425", message),))
            taken.append(self.given[material].pop(0))
        return taken


def dock_yard(block: Block, parts: Parts, project: Project) -> DockYard:
    """The docks of `project` for the materials of `block`; one that brings more than a belt is
    several, side by side."""
    given: dict[str, list[Fraction]] = {}
    for dock in project.site.docks:
        if dock.material in parts.inputs:
            worth = dock.rate / (parts.loads[dock.material] * parts.lane_speed)
            count = ceil(worth)
            given.setdefault(dock.material, []).extend([worth / count] * count)
    return DockYard(given, dict(block.counts.supplies), dict(block.counts.supplies))


def total(demands: Iterable[Fraction]) -> Fraction:
    """All of `demands`."""
    return sum(demands, Fraction(0))
