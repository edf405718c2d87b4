"""State -> arrays: marks in stations, and applicators."""

from __future__ import annotations

from loopwright.simulate.columns import Part
from loopwright.simulate.division import Members
from loopwright.simulate.state import State


def fill_treatment(members: Members, part: Part, state: State) -> None:
    """Write what `state` holds of marks and applicators; inputs and tanks are filled already."""
    treatment = part.treatment
    for number, name in enumerate(members.stations):
        row, now = part.stations.rows[number], state.stations[name]
        if not row.grades:
            continue
        treatment.batch[number] = now.grade
        for entry in range(row.input_first, row.input_last):
            material = members.kinds[part.stations.inputs[entry].material].material
            above = now.marked.get(material, ())
            treatment.held[entry, : len(above)] = above
        first = treatment.grade_first[number]
        graded = state.counters.stations[name].graded
        treatment.grades["ended"][first : first + row.grades] = graded or 0
    for row, name in zip(treatment.rows, members.applicators, strict=True):
        at, count = state.applicators[name], state.counters.applicators[name]
        row.left, row.credit = int(at.left * int(row.whole)), int(at.credit * int(row.one))
        row.carriers, row.units, row.spent = count.carriers, count.units, count.spent
        row.dry, row.late = count.dry, count.late
