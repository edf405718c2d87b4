"""From rates to belts."""

from __future__ import annotations

from loopwright.model import Project
from loopwright.plan.plan import BeltNeed, MaterialPlan

STACKS = (1, 2, 4)
"""Units a carrier for which belts are always told, beside the material's own stack."""


def plan_belts(project: Project, materials: tuple[MaterialPlan, ...]) -> tuple[BeltNeed, ...]:
    """Belts of each kind that each material fills, exact, at stack 1, 2, 4 and its own."""
    return tuple(
        BeltNeed(entry.material, kind, stack, entry.flow / (belt.speed * stack))
        for entry in materials
        if entry.flow > 0
        for kind, belt in project.equipment.belts.items()
        for stack in sorted({*STACKS, project.materials[entry.material].stack})
    )
