"""Marks and tanks of the primed start: as if the applicators had never lacked anything."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.layout.layout import Applicator, Layout, Port
from loopwright.layout.treatment.marks import Found, LowestMarks, taken_marks, usual_grades
from loopwright.simulate.clock import cycles_of, layout_tick
from loopwright.simulate.state import ApplicatorState, Carrier, State, StationState


def with_marks(state: State, layout: Layout) -> State:
    """`state` with all marked that has passed applicators, and full tanks."""
    if not layout.applicators:
        return state
    marks = LowestMarks(layout)
    belts = {
        name: tuple(_mark(marks, name, index, cell) for index, cell in enumerate(cells))
        for name, cells in state.belts.items()
    }
    speeds = {belt.name: belt.speed for belt in layout.belts}
    return replace(
        state,
        marks={name: found for name, found in belts.items() if any(found)},
        stations=_stations(state, layout),
        applicators={
            one.name: ApplicatorState(one.cap, Fraction(0), _credit(one, layout, speeds[one.belt]))
            for one in layout.applicators
        },
    )


def _mark(marks: LowestMarks, belt: str, index: int, cell: Carrier | None) -> int:
    return 0 if cell is None else marks.at(Port(belt, index)).get(cell[0], 0)


def _credit(one: Applicator, layout: Layout, speed: Fraction) -> Fraction:
    """The most that an applicator may mark at once [units]; 0 where it has no rate."""
    if one.rate is None:
        return Fraction(0)
    stacks = [m.stack for m in layout.materials if not one.materials or m.name in one.materials]
    return one.rate / speed + max(stacks)


def _stations(state: State, layout: Layout) -> dict[str, StationState]:
    """Marked inputs, and cycles of the grade that goes with them, as far on as before."""
    recipes = {recipe.name: recipe for recipe in layout.recipes}
    taken, grades = taken_marks(layout), usual_grades(layout)
    tick = layout_tick(layout)
    found = dict(state.stations)
    for station in layout.stations:
        recipe, now = recipes[station.recipe], found[station.name]
        lowest: Found = taken.get(station.name, {})
        grade = grades.get(station.name, 0)
        due = now.due
        if grade and due is not None:
            cycles = [int(cycle / tick) for cycle in cycles_of(recipe)]
            due = 1 + (due - 1) * cycles[grade] // cycles[0]
        found[station.name] = replace(
            now,
            marked={name: _held(now.inputs[name], mark) for name, mark in lowest.items() if mark},
            grade=grade,
            due=due,
        )
    return found


def _held(units: int, mark: int) -> tuple[int, ...]:
    return (*(0,) * (mark - 1), units)
