"""Applicators mark carriers; stations with grades look at marks."""

from __future__ import annotations

from loopwright.simulate.columns import Belts, Pickers, Stations, Treatment
from loopwright.simulate.kernel.belt import bit_of, cell_of, look, units_of
from loopwright.simulate.kernel.jit import apart, kernel
from loopwright.simulate.kernel.mark import mark
from loopwright.simulate.kernel.vector import item
from loopwright.simulate.kernel.wish import look_again_all


@apart
def treat(
    belts: Belts, stations: Stations, pickers: Pickers, treatment: Treatment, belt: int
) -> None:
    """2.5 The applicators over `belt`, by name, mark what is on their cells."""
    for number in range(treatment.rows.size):
        row = item(treatment.rows, number)
        if row.belt != belt:
            continue
        if row.one:
            row.credit = min(row.credit + row.gain, row.most)
        code = look(belts, belt, row.cell)
        if code == 0:
            continue
        bit = bit_of(code)
        raised = int(treatment.raised[number, bit])
        if raised < 0:
            continue
        units = units_of(code)
        dose = row.dose * units
        tank = item(stations.rows, row.station)
        agent = item(stations.inputs, tank.input_first)
        if dose > row.left + agent.held * row.whole:
            row.dry += 1
            continue
        if row.credit < row.one * units:
            row.late += 1
            continue
        row.credit -= row.one * units
        opened = max(0, (dose - row.left + row.whole - 1) // row.whole)
        row.left += opened * row.whole - dose
        row.spent += opened
        row.carriers += 1
        row.units += units
        belts.cells[item(belts.rows, belt).origin + row.cell] = cell_of(raised, units)
        if item(belts.rows, belt).counted:
            belts.on_belt[belt, bit] -= 1
            belts.on_belt[belt, raised] += 1
        if opened:
            agent.held -= opened
            agent.room += opened
            mark(stations.check, row.station)
            if agent.room - opened < tank.alert:
                look_again_all(belts, stations, pickers, tank.feeder_first, tank.feeder_last)


@kernel
def put_by_mark(treatment: Treatment, entry: int, kind: int, units: int) -> None:
    """1.2, 1.3 Units that come into an input of a station with grades keep their mark."""
    level = int(item(treatment.level, kind))
    if level:
        treatment.held[entry, level - 1] += units


@apart
def grade_of_next(stations: Stations, treatment: Treatment, station: int) -> int:
    """1.4 The grade of the batch that could start now: by the lowest mark of its inputs."""
    row = item(stations.rows, station)
    grade = int(row.grades)
    for entry in range(row.input_first, row.input_last):
        plain = int(item(stations.inputs, entry).held)
        lowest = 0
        for level in range(treatment.held.shape[1]):
            units = int(treatment.held[entry, level])
            plain -= units
            if units and lowest == 0:
                lowest = level + 1
        if plain:
            lowest = 0
        grade = min(grade, lowest)
    if row.input_first == row.input_last:
        return 0
    return grade


@kernel
def most_of(stations: Stations, treatment: Treatment, station: int, grade: int, output: int) -> int:
    """1.4 The most units of an output that a cycle of that grade gives."""
    if grade == 0:
        return int(item(stations.outputs, output).most)
    made = item(treatment.grades, item(treatment.grade_first, station) + grade - 1).made_first
    place = made + output - item(stations.rows, station).output_first
    return int(item(treatment.made, place).most)


@apart
def begin_batch(stations: Stations, treatment: Treatment, station: int, grade: int) -> None:
    """1.4 Units of the lowest mark are taken first; all are still counted as held."""
    row = item(stations.rows, station)
    treatment.batch[station] = grade
    for number in range(row.input_first, row.input_last):
        entry = item(stations.inputs, number)
        left = int(entry.need) - int(entry.held)
        for level in range(treatment.held.shape[1]):
            left += int(treatment.held[number, level])
        for level in range(treatment.held.shape[1]):  # what is left after the unmarked ones
            if left > 0:
                part = min(left, int(treatment.held[number, level]))
                treatment.held[number, level] -= part
                left -= part


@apart
def end_batch(stations: Stations, treatment: Treatment, station: int) -> bool:
    """1.1 As the end of any cycle, if the batch has a grade."""
    grade = int(item(treatment.batch, station))
    if grade == 0:
        return False
    treatment.batch[station] = 0
    row = item(stations.rows, station)
    at = item(treatment.grades, item(treatment.grade_first, station) + grade - 1)
    at.ended += 1
    for output in range(row.output_first, row.output_last):
        entry = item(stations.outputs, output)
        kept = entry.kept + item(treatment.made, at.made_first + output - row.output_first).gain
        entry.held += kept // entry.one
        entry.kept = kept % entry.one
    return True
