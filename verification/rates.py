"""What whole layouts bring of their plan, with ideal pickers and with pickers that miss.

Run as `python -m verification.rates > verification/rates.txt`. Takes about a minute.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from loopwright.layout import place_project
from loopwright.layout.layout import Layout
from loopwright.model import Project, read_project
from loopwright.model.scenario import Mishaps
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.reading import read_run
from loopwright.simulate.scenario import Scenario, laid_scenario

EXAMPLES = Path(__file__).parents[1] / "examples"
FILES = (
    "check-block.yaml",
    "check-block-pass.yaml",
    "filter-kits.yaml",
    "filter-works.yaml",
    "rinse-works.yaml",
)
SUPPLIES = ("docks", "trunks")
MISSED = (Fraction(0), Fraction(1, 10))
"""Shares of picks that find the hand empty."""


def main() -> None:
    """The table."""
    heads = ("example", "supply", "stations", "picks missed", "plan /s", "measured /s", "share")
    projects = {name: read_project(EXAMPLES / name) for name in FILES}
    projects["filter-works at 25/s"] = larger_works(projects["filter-works.yaml"])
    projects["rinse-works at 60/s"] = larger_rinse(projects["rinse-works.yaml"])
    lines = [heads, *(row for name, project in projects.items() for row in _rows(name, project))]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heads))]
    for line in lines:
        print("  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip())


def larger_works(project: Project) -> Project:
    """The small site on more ground, at 1,500 kits a minute; without power nodes."""
    tree = project.document()
    tree["demand"] = {"kit": "25/s"}
    tree["site"] |= {"width": 400, "height": 400}
    tree["site"]["docks"] = [{"material": "tap", "rate": "45/s", "at": "60,0"}]
    tree["choices"]["power_node"] = "none"
    return Project.model_validate(tree)


def larger_rinse(project: Project) -> Project:
    """Ten times as many cartridges, rinsed in two bays; without power nodes."""
    tree = project.document()
    tree["demand"] = {"cartridge": "60/s"}
    tree["site"] |= {"width": 500, "height": 500, "docks": []}
    tree["choices"] |= {"row": 12, "power_node": "none"}
    return Project.model_validate(tree)


def _rows(name: str, project: Project) -> Iterable[tuple[str, ...]]:
    for supply in SUPPLIES if project.choices.scope != "site" else ("sections",):
        if supply != "sections":
            project = _with(project, supply)
        plan = solve_plan(project)
        asked = sum((entry.demanded for entry in plan.materials), Fraction(0))
        layout = place_project(plan, project).layout
        for missed in MISSED:
            rate = read_run(simulate_layout(layout, _scenario(project, layout, missed))).rate
            yield (
                name.removesuffix(".yaml"),
                supply,
                str(len(layout.stations)),
                f"{float(missed * 100):.0f} %",
                f"{float(asked):.3f}",
                f"{float(rate):.3f}",
                f"{float(100 * rate / asked):.2f} %",
            )


def _with(project: Project, supply: str) -> Project:
    """`project` with another supply, no power nodes, and a site with room for trunks."""
    choices = project.choices.model_copy(update={"supply": supply, "power_node": "none"})
    site = project.site.model_copy(update={"width": project.site.width + 60})
    return project.model_copy(update={"choices": choices, "site": site})


def _scenario(project: Project, layout: Layout, missed: Fraction) -> Scenario:
    """The steady scenario with that share of picks missed."""
    steady = project.scenarios["steady"]
    mishaps = Mishaps(missed_picks=missed)
    return laid_scenario(steady.model_copy(update={"mishaps": mishaps}), "steady", layout)


if __name__ == "__main__":
    main()
