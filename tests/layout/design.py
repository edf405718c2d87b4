"""Projects to place: the check block, cut down and with other choices."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from loopwright.block import size_block
from loopwright.layout import place_layout
from loopwright.layout.layout import Layout
from loopwright.model import Project, read_project
from loopwright.plan import solve_plan

EXAMPLES = Path(__file__).parents[2] / "examples"


def example(name: str, *, rate: Fraction | None = None, **choices: Any) -> Project:
    """The example project `name` with another demand [units/s] and other choices."""
    project = read_project(EXAMPLES / name)
    product = next(iter(project.demand))
    demand = project.demand if rate is None else {product: rate}
    return project.model_copy(
        update={"demand": demand, "choices": project.choices.model_copy(update=choices)}
    )


def placed(project: Project) -> Layout:
    """The layout of `project`."""
    return place_layout(size_block(solve_plan(project), project), project)
