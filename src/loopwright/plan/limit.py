"""What limits the plan: use and shadow price of every limit, headroom of the demand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.model import Project
from loopwright.plan.formulation import Formulation
from loopwright.plan.optimum import solve_programme
from loopwright.plan.plan import Headroom, LimitUse, TreatmentPlan
from loopwright.plan.programme import Column, Optimum, Programme, Row
from loopwright.plan.study import Settled, without_treatment

ZERO = Fraction(0)

MOST_GROWTH = 1000
"""A demand that could grow further than this is said to have no limit."""


def plan_limits(settled: Settled) -> tuple[LimitUse, ...]:
    """Every limit, in the order of the programme."""
    formulation, optimum = settled.formulation, settled.optimum
    used = formulation.programme.activities(optimum.x)
    most = settled.most.outcome if settled.most else None
    return tuple(
        LimitUse(
            kind=limit.kind,
            name=limit.name,
            path=limit.path,
            limit=formulation.programme.rows[row].rhs,
            used=used[row],
            price=optimum.y[row],
            gain=None if most is None else -most.y[row],
        )
        for row, limit in formulation.limits.items()
    )


def find_headroom(formulation: Formulation) -> Headroom | None:
    """How far all demands together could grow; None where nothing limits them."""
    if all(limit.kind == "demand" for limit in formulation.limits.values()):
        return None
    programme = formulation.programme
    demands = {row for row, limit in formulation.limits.items() if limit.kind == "demand"}
    grown: dict[int, Fraction] = {}
    for row in demands:
        material = formulation.limits[row].name
        grown[formulation.materials[material]] = -programme.rows[row].rhs
    columns = [replace(column, cost=ZERO) for column in programme.columns]
    factor = len(columns)
    grown[len(programme.rows)] = Fraction(1)
    columns.append(Column("demand", Fraction(-1), grown))
    for column in formulation.deliveries.values():
        columns[column] = Column("nothing", ZERO, {})
    rows = tuple(
        replace(row, sense="<=", rhs=ZERO) if at in demands else row
        for at, row in enumerate(programme.rows)
    )
    rows = (*rows, Row("growth", "<=", Fraction(MOST_GROWTH)))
    outcome = solve_programme(
        Programme("as much of every demand as possible", rows, tuple(columns))
    )
    if not isinstance(outcome, Optimum) or outcome.x[factor] == MOST_GROWTH:
        return None
    paths = tuple(limit.path for row, limit in formulation.limits.items() if outcome.y[row])
    return Headroom(outcome.x[factor], paths)


def plan_treatments(project: Project, settled: Settled) -> tuple[TreatmentPlan, ...]:
    """Treatments at work, each with what it saves."""
    marked: dict[str, Fraction] = {}
    formulation, x = settled.formulation, settled.optimum.x
    for column, way in formulation.ways.items():
        if way.treatment and x[column]:
            marked[way.treatment] = marked.get(way.treatment, ZERO) + x[column] * way.marks
    found = []
    for name, rate in marked.items():
        treatment = project.equipment.treatments[name]
        other = solve_programme(without_treatment(formulation, name))
        saving = other.value - settled.optimum.value if isinstance(other, Optimum) else None
        found.append(TreatmentPlan(name, rate, treatment.agent, treatment.dose * rate, saving))
    return tuple(found)
