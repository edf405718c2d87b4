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
    """Drained loops take more than the plan counts, where supplies bring no more than that."""
    given = {dock.material for dock in project.site.docks}
    for block in blocks:
        inputs = project.processes[block.process].inputs
        limited = project.choices.scope == "site" or given & inputs.keys()
        if block.architecture != "loop" or block.gate != DRAINED or not limited:
            continue
        parts = block_parts(block, project)
        stations = block.rows[0].stations
        load = sum(parts.flows(stations).values(), Fraction(0))
        fresh = fresh_share(parts, stations)
        yield new_finding(
            "LW314",
            f"the rows of {block.process} drain what is left of a turn, and supplies bring no more "
            f"than the plan counts; each takes {format_fraction(fresh)} of a belt and uses "
            f"{format_fraction(load)}",
            Place(path="choices.gate"),
            value=f"{format_fraction(fresh / load)} of what is planned",
            remedy="let supplies bring so much more, lengthen the rows, or choose another gate",
        )
