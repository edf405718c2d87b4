"""From the quantities of a programme to the account of each material."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from loopwright.model import Project
from loopwright.plan.formulation import Formulation
from loopwright.plan.plan import MaterialPlan
from loopwright.plan.programme import Optimum

ZERO = Fraction(0)


def plan_materials(
    project: Project, formulation: Formulation, optimum: Optimum
) -> tuple[MaterialPlan, ...]:
    """What becomes of each material."""
    x = optimum.x
    made, used = (
        dict.fromkeys(formulation.materials, ZERO),
        dict.fromkeys(formulation.materials, ZERO),
    )
    for column, way in formulation.ways.items():
        if x[column]:
            for material, units in way.makes.items():
                made[material] += units * x[column]
            for material, units in way.uses.items():
                used[material] += units * x[column]
    drawn: dict[str, Fraction] = {}
    for deposit, column in formulation.draws.items():
        material = project.site.deposits[deposit].material
        drawn[material] = drawn.get(material, ZERO) + x[column]

    def at(columns: Mapping[str, int], material: str) -> Fraction:
        return x[columns[material]] if material in columns else ZERO

    return tuple(
        MaterialPlan(
            material=material,
            made=made[material],
            imported=at(formulation.imports, material),
            used=used[material],
            demanded=at(formulation.deliveries, material),
            surplus=at(formulation.drains, material),
            drawn=drawn.get(material, ZERO),
            value=optimum.y[row],
        )
        for material, row in formulation.materials.items()
    )
