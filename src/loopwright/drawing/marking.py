"""Marks of materials that a layout does not hold."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.finding import Finding
from loopwright.layout.layout import Material
from loopwright.model import Project
from loopwright.plan import Plan
from loopwright.plan.balance import choose_maker


def plan_materials(
    project: Project, plan: Plan, placed: Sequence[Material] = ()
) -> tuple[Material, ...]:
    """All materials of `plan` with their marks; those `placed` first, so that colours agree.

    Where nothing is placed, the materials that a block would be given come first.
    """
    known = {material.name for material in placed}
    letters = project.letters
    planned = [entry.material for entry in plan.materials]
    first = () if placed else [name for name in _of_block(project) if name in planned]
    rest = [name for name in dict.fromkeys((*first, *planned)) if name not in known]
    kinds = {name: project.materials[name] for name in rest}
    return (
        *placed,
        *(Material(name, letters[name], kind.title, kind.stack) for name, kind in kinds.items()),
    )


def _of_block(project: Project) -> tuple[str, ...]:
    """What goes into the process that the block is for, and what comes out."""
    name: str | Finding = project.choices.process
    if name == "auto":
        name = choose_maker(project, next(iter(project.demand)))
    if isinstance(name, Finding):
        return ()
    process = project.processes[name]
    return (*process.inputs, *process.outputs)
