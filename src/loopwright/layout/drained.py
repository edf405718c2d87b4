"""Drained loops: the places in the pattern of their gate."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from loopwright.block.block import Block
from loopwright.exact import format_fraction
from loopwright.finding import Finding, Place, new_finding
from loopwright.layout.parts import Parts, block_parts
from loopwright.layout.quota import returned_share
from loopwright.model import Project

DRAINED = "drained"
"""The gate of a loop whose leftovers get a share of the lane, the rest of them being drained."""


def drained_places(parts: Parts, stations: int) -> list[int]:
    """Places of each fresh inlet, a mixed belt being one, and last of what comes back, on the lane
    of a row of so many stations.

    Raises
    ------
    DesignError
        LW435: the row uses so much of its lane that nothing may come back.
    """
    load = sum(parts.flows(stations).values(), Fraction(0))
    shares = [share for _, share in parts.shares]
    most = Fraction(1)
    if parts.mixer is not None:
        shares, most = [1], parts.mixer.net_rate
    times, back = returned_share(sum(shares), load, most)
    return [*(times * share for share in shares), back]


def fresh_share(parts: Parts, stations: int) -> Fraction:
    """What enters a drained loop, as a share of its lane."""
    *fresh, back = drained_places(parts, stations)
    return Fraction(sum(fresh), sum(fresh) + back)


def check_drained(blocks: Iterable[Block], project: Project) -> Iterator[Finding]:
    """Drained loops take more than the plan counts, where supplies bring no more than that: in
    sections of a site, or from docks with too low rates."""
    for block in blocks:
        if block.architecture != "loop" or block.gate != DRAINED:
            continue
        parts = block_parts(block, project)
        stations = block.rows[0].stations
        load = sum(parts.flows(stations).values(), Fraction(0))
        fresh = fresh_share(parts, stations)
        if project.choices.scope != "site" and _suffice(parts, project, fresh * len(block.rows)):
            continue
        yield new_finding(
            "LW314",
            f"the rows of {block.process} drain what is left of a turn, and supplies bring no more "
            f"than the plan counts; each takes {format_fraction(fresh)} of a belt and uses "
            f"{format_fraction(load)}",
            Place(path="choices.gate"),
            value=f"{format_fraction(fresh / load)} of what is planned",
            remedy="let supplies bring so much more, lengthen the rows, or choose another gate",
        )


def _suffice(parts: Parts, project: Project, belts: Fraction) -> bool:
    """Whether the docks with given rates bring their shares of so many full mixed `belts`."""
    total = sum(share for _, share in parts.shares)
    for material, share in parts.shares:
        rates = [dock.rate for dock in project.site.docks if dock.material == material]
        brought = sum(rates, Fraction(0)) / (parts.loads[material] * parts.lane_speed)
        if rates and brought < belts * Fraction(share, total):
            return False
    return True
