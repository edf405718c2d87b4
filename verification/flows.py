"""What it saves that each wing of a site flows whichever way makes belts shorter.

Run as `python -m verification.flows > verification/flows.txt`. Takes some minutes. The sites at
random are those of `verification.sites` whose flow is left open.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from typing import Any
from unittest import mock

from hypothesis import HealthCheck, Phase, given, seed, settings

from loopwright.finding import DesignError
from loopwright.layout import place_project
from loopwright.layout.route.bound import count_belts
from loopwright.layout.section import assembly
from loopwright.layout.section.outline import make_wings
from loopwright.model import Project, read_project
from loopwright.plan import solve_plan
from tests.layout.plants import plants
from verification.rates import EXAMPLES, larger_works
from verification.sites import PLANTS


def _as_they_fit(*told: Any) -> list[Any]:
    return list(told[-1])


def _pair_by_pair(section: Any, parts: Any, tallest: int, *told: Any) -> list[Any]:
    del tallest
    return make_wings(section, parts, 1, *told)


WAYS: Mapping[str, Mapping[str, Callable[..., Any]]] = {
    "shorter to what stands": {"turn_pieces": _as_they_fit},
    "tried both ways": {},
    "each pair by itself": {"make_wings": _pair_by_pair},
}
"""How wings come to their flow; what of the assembly is done in another way."""


def main() -> None:
    """Cells of belts, and of as many the least there could be."""
    works = read_project(EXAMPLES / "filter-works.yaml")
    cases = {"filter works": [works], "filter works at 25/s": [larger_works(works)]}
    cases["sites at random"] = [project for project in _plants() if project.choices.flow == "auto"]
    for name, projects in cases.items():
        placed = [project for project in projects if _cells(project, {}) is not None]
        print(f"{name}, {len(placed)} placed")
        for way, changed in WAYS.items():
            found = [_cells(project, changed) for project in placed]
            cells = sum(count[0] for count in found if count)
            bound = sum(count[1] for count in found if count)
            lost = sum(count is None for count in found)
            more = f", {lost} not placed" if lost else ""
            print(f"  {way:24}{cells:8,d} cells, at least {bound:,d}{more}")


def _plants() -> list[Project]:
    found: list[Project] = []

    @seed(1971)
    @given(plants())
    @settings(
        max_examples=PLANTS,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def each(project: Project) -> None:
        found.append(project)

    each()
    return found


def _cells(project: Project, changed: Mapping[str, Callable[..., Any]]) -> tuple[int, int] | None:
    """Belt cells of the layout and their bound; None where it is refused."""
    print(".", end="", file=sys.stderr, flush=True)
    with ExitStack() as stack:
        for name, function in changed.items():
            stack.enter_context(mock.patch.object(assembly, name, function))
        try:
            count = count_belts(place_project(solve_plan(project), project).layout)
        except DesignError:
            return None
    return count.cells, count.bound


if __name__ == "__main__":
    main()
