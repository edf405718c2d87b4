"""Marks of materials that a layout does not hold."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.layout.layout import Material
from loopwright.model import Project
from loopwright.plan import Plan


def plan_materials(
    project: Project, plan: Plan, placed: Sequence[Material] = ()
) -> tuple[Material, ...]:
    """All materials of `plan` with their marks; those `placed` first, so that colours agree."""
    known = {material.name for material in placed}
    letters = project.letters
    rest = [entry.material for entry in plan.materials if entry.material not in known]
    kinds = {name: project.materials[name] for name in rest}
    return (
        *placed,
        *(Material(name, letters[name], kind.title, kind.stack) for name, kind in kinds.items()),
    )
