"""Warnings about sections that may take from others what these need."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from loopwright.block.block import Block
from loopwright.exact import format_rate
from loopwright.finding import Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan import Plan


def check_sharing(plan: Plan, project: Project, sections: Sequence[Block]) -> tuple[Finding, ...]:
    """Where whole stations of the first takers of a material take more of it than those of its
    makers make beyond the plan.

    With one product what is too much waits on the belts. With several it leaves the site by its
    own dock, and the last taker goes short.
    """
    if len(project.demand) < 2:
        return ()
    found = []
    for entry in plan.materials:
        slack = Fraction(0)
        takers: list[tuple[str, Fraction]] = []
        for block in sections:
            more = block.counts.stations / block.stations - 1
            flows = plan.process(block.process)
            slack += more * sum(
                (flow.rate for flow in flows.makes if flow.material == entry.material), Fraction(0)
            )
            takers += [
                (block.process, flow.rate * more)
                for flow in flows.uses
                if flow.material == entry.material
            ]
        if entry.demanded:
            takers.append((f"the dock of {entry.material}", Fraction(0)))
        extra = sum((rate for _, rate in takers[:-1]), Fraction(0))
        if entry.made and extra > slack:
            found.append(_short(entry.material, takers, extra, slack))
    return tuple(found)


def _short(
    material: str, takers: Sequence[tuple[str, Fraction]], extra: Fraction, slack: Fraction
) -> Finding:
    first = ", ".join(name for name, _ in takers[:-1])
    return new_finding(
        "LW312",
        f"whole stations of {first} may take {format_rate(extra)} more {material} than the plan "
        f"says, and {format_rate(slack)} more is made; {takers[-1][0]} may get less",
        Place(path=f"materials.{material}"),
        value=format_rate(extra),
        allowed=f"at most {format_rate(slack)}",
    )
