"""Sites at random: what is placed, what is refused and why, and what the placed ones bring.

Run as `python -m verification.sites > verification/sites.txt`. Takes some minutes. Each placed
layout passes the checks, is simulated as drawn, and its units are audited; a run that loses one
raises.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings

from loopwright.block import Block, check_block
from loopwright.finding import REGISTER, DesignError, Severity
from loopwright.layout import check_layout, place_project
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.plan import Plan, solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.reading import read_run
from loopwright.simulate.scenario import Scenario
from tests.layout.plants import plants
from tests.layout.sites import sites

BLOCKS, PLANTS = 120, 180
THIRD_HOUR = Scenario("third hour", "primed", Fraction(10800), Fraction(7200), Fraction(10))
SHORT = Scenario("short", "primed", Fraction(60), Fraction(20), Fraction(10))
ENOUGH = Fraction(99, 100)


def main() -> None:
    """Both tables."""
    print(f"{BLOCKS} sites with one block")
    _table(_drawn(sites(), BLOCKS, _block))
    print(f"\n{PLANTS} sites with sections")
    _table(_drawn(plants(), PLANTS, _plant))


def _table(counts: Counter[str]) -> None:
    for name in sorted(counts):
        print(f"{counts[name]:5d}  {name}")


def _drawn(
    strategy: Any,
    number: int,
    told: Callable[[Project, Plan, Layout, tuple[Block, ...]], list[str]],
) -> Counter[str]:
    counts: Counter[str] = Counter()

    @seed(1971)
    @given(strategy)
    @settings(
        max_examples=number,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def each(project: Project) -> None:
        try:
            plan = solve_plan(project)
            placed = place_project(plan, project)
        except DesignError as error:
            code = error.findings[0].code
            counts[f"refused: {code}, {REGISTER[code].title}"] += 1
            return
        faults = [f for f in check_layout(placed.layout) if f.severity is Severity.ERROR]
        assert not faults, faults
        counts.update(["placed", *told(project, plan, placed.layout, placed.sections)])
        print(sum(counts.values()), end="\r", file=sys.stderr)

    each()
    return counts


def _block(project: Project, plan: Plan, layout: Layout, sections: tuple[Block, ...]) -> list[str]:
    assert plan.processes
    run = simulate_layout(layout, SHORT)
    assert run.ended == "span"
    found = [f"placed: {sections[0].architecture}"]
    if project.site.obstacles:
        found.append("placed: with obstacles on the site")
    return found


def _plant(project: Project, plan: Plan, layout: Layout, sections: tuple[Block, ...]) -> list[str]:
    found = [f"placed: {len(sections)} sections"]
    if project.site.obstacles:
        found.append("placed: with obstacles on the site")
    if any(dock.placed for dock in project.site.docks):
        found.append("placed: with docks at given places")
    if any("feeder" in side.inlet for side in layout.side_merges):
        found.append("placed: with belts that end into the flank of another")
    run = simulate_layout(layout, THIRD_HOUR)
    assert run.ended == "span"
    rates = read_run(run).rates
    slow = any(check_block(block, project) for block in sections)
    for entry in plan.materials:
        if not entry.demanded:
            continue
        rate = rates.get(entry.material, Fraction(0)) / entry.demanded
        if rate >= ENOUGH:
            found.append("demanded products at 99 % of the plan or more")
        elif slow:
            found.append("demanded products below, with a picker told of as too slow (LW302)")
        elif len(project.demand) > 1:
            found.append("demanded products below, others being demanded too")
        else:
            found.append(f"demanded products below, {float(rate):.3f}, for another reason")
            print(project.model_dump_json(by_alias=True), file=sys.stderr)
    return found


if __name__ == "__main__":
    main()
