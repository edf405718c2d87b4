"""Marks of materials agree from drawing to drawing."""

from __future__ import annotations

from pathlib import Path

from loopwright.block import size_block
from loopwright.drawing.marking import plan_materials
from loopwright.layout import place_layout
from loopwright.model import read_project
from loopwright.plan import solve_plan

EXAMPLE = Path(__file__).parents[2] / "examples" / "filter-kits.yaml"


def test_a_plan_marks_materials_as_the_layout_to_come_will() -> None:
    project = read_project(EXAMPLE)
    plan = solve_plan(project)
    layout = place_layout(size_block(plan, project), project)
    alone, beside = plan_materials(project, plan), plan_materials(project, plan, layout.materials)
    assert [one.name for one in alone] == [one.name for one in beside]
    assert alone[: len(layout.materials)] == layout.materials
