"""The stages up to the layout, run one after the other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loopwright.block import Block
    from loopwright.layout import Layout
    from loopwright.model import Project
    from loopwright.plan import Plan


@dataclass(frozen=True, slots=True)
class Design:
    """A project and what follows from it."""

    project: Project
    plan: Plan
    block: Block
    layout: Layout


def design_project(project: Project) -> Design:
    """Plan, block and layout of `project`.

    Raises
    ------
    DesignError
        A stage cannot go on; the findings say why and what to do.
    """
    from loopwright.block import size_block
    from loopwright.layout import place_layout
    from loopwright.plan import solve_plan

    plan = solve_plan(project)
    block = size_block(plan, project)
    return Design(project, plan, block, place_layout(block, project))
