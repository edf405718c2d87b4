"""Applicators, and the grades of stations -> arrays."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, lcm

from loopwright.layout.layout import Applicator
from loopwright.simulate import columns as col
from loopwright.simulate.clock import cycles_of
from loopwright.simulate.columns import Part
from loopwright.simulate.division import marks_kind
from loopwright.simulate.encode_belts import fit
from loopwright.simulate.encode_chance import Mishaps
from loopwright.simulate.kind import Kind
from loopwright.simulate.limit import within
from loopwright.simulate.numbering import Numbering


def treatment_sizes(names: Numbering) -> dict[str, int]:
    """The extent of every dimension."""
    grades = [len(recipe.grades) for recipe in names.recipes]
    outputs = map(len, names.outputs)
    marks = [kind.mark for kind in names.kind]
    for station in names.members.stations:
        marks += map(len, names.state.stations[station].marked.values())
    return {
        "applicator": len(names.applicators),
        "level": max(marks, default=0),
        "grade": sum(grades),
        "made": sum(many * count for many, count in zip(grades, outputs, strict=True)),
    }


def encode_treatment(names: Numbering, mishaps: Mishaps, part: Part) -> None:
    """Write all that does not change; the outputs of stations are written already."""
    part.treatment.level[:] = [kind.mark for kind in names.kind]
    part.treatment.raised[:] = -1
    for number, applicator in enumerate(names.applicators):
        _applicator(names, part, number, applicator)
    _grades(names, mishaps, part)


def _applicator(names: Numbering, part: Part, number: int, applicator: Applicator) -> None:
    row = part.treatment.rows[number]
    row.belt, row.cell = names.belt[applicator.belt], applicator.index
    row.station = names.station[applicator.name]
    part.belts.rows[row.belt].odd |= col.TREATED
    left = names.state.applicators[applicator.name].left
    whole = lcm(applicator.dose.denominator, left.denominator)
    most = within(applicator.name, "a tank", applicator.cap, 2**31 - 2) * whole
    row.whole, row.dose, *_ = fit(
        applicator.name, whole, applicator.dose * whole, applicator.dose * whole * 16, most
    )
    bits = names.palette_bits(applicator.belt)
    for kind, bit in bits.items():
        raised = bits.get(Kind(kind.material, applicator.level))
        if raised is not None and marks_kind(applicator, kind):  # else the kind never comes here
            part.treatment.raised[number, bit] = raised
    if applicator.rate is not None:
        gain = applicator.rate / names.wiring.belts[applicator.belt].speed
        most_credit = gain + largest_stack(names, applicator)
        credit = names.state.applicators[applicator.name].credit
        one = lcm(gain.denominator, credit.denominator)
        row.one, row.gain, row.most = fit(
            applicator.name, one, *(amount * one for amount in (gain, most_credit))
        )


def largest_stack(names: Numbering, applicator: Applicator) -> int:
    """The largest stack of what an applicator marks."""
    return max(
        material.stack
        for material in names.wiring.layout.materials
        if not applicator.materials or material.name in applicator.materials
    )


def _grades(names: Numbering, mishaps: Mishaps, part: Part) -> None:
    treatment, stations = part.treatment, part.stations
    first = made = 0
    for number, (recipe, outputs) in enumerate(zip(names.recipes, names.outputs, strict=True)):
        treatment.grade_first[number] = first
        if not recipe.grades:
            continue
        row = stations.rows[number]
        row.grades, row.varies = within(recipe.name, "a row of grades", len(recipe.grades), 127), 1
        laws = mishaps.grade_laws.get(names.stations[number].name, ())
        for grade, cycle in zip(recipe.grades, cycles_of(recipe)[1:], strict=True):
            at = treatment.grades[first]
            at.cycle, at.made_first = names.whole(cycle, recipe.name), made
            at.law = laws[first - treatment.grade_first[number]] if laws else -1
            for output, (_, count) in enumerate(outputs, row.output_first):
                units = count * recipe.batch_yield * grade.batch_yield
                parts: Fraction = units * int(stations.outputs[output].one)
                treatment.made[made].gain, *_ = fit(recipe.name, parts)
                treatment.made[made].most = ceil(units)
                made += 1
            first += 1
