"""Batches that gained nothing, since not all that they took was marked."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from loopwright.layout.layout import Applicator
from loopwright.simulate.reading.readings import ApplicatorReading, Readings
from loopwright.simulate.reading.text import figure, listed, percent
from loopwright.simulate.reading.trace import WAIT, Trace
from loopwright.simulate.run import Run


def unmarked_rows(
    run: Run, readings: Readings, trace: Trace
) -> Iterator[tuple[str, Fraction, str, tuple[str, ...]]]:
    """Rows of which batches went without a mark: name, loss [units/s], sentence and reasons.

    The loss is what their stations would have made of marked batches in the same time, less what
    they made.
    """
    graded = {recipe.name: recipe for recipe in run.layout.recipes if recipe.grades}
    rows: dict[str, list[str]] = {}
    for station in run.layout.stations:
        if station.recipe in graded:
            rows.setdefault(station.row, []).append(station.name)
    recipe_of = {one.name: graded.get(one.recipe) for one in run.layout.stations}
    for row, members in rows.items():
        ended = plain = 0
        loss = Fraction(0)
        for name in members:
            end, warm = run.end.counters.stations[name], run.warm.stations[name]
            without = end.ended - warm.ended - sum(end.graded) + sum(warm.graded)
            ended += end.ended - warm.ended
            plain += without
            recipe = recipe_of[name]
            assert recipe is not None
            made = sum(count for _, count in recipe.outputs) * recipe.batch_yield
            loss += (
                without * max(Fraction(0), recipe.cycle * trace.makes(name) - made) / readings.span
            )
        if not ended or Fraction(plain, ended) < WAIT:
            continue
        share = Fraction(plain, ended)
        sentence = (
            f"{row or listed(members)}: {percent(share)} of its batches were not marked and gained "
            f"nothing, {figure(loss)} units/s less"
        )
        yield row or members[0], loss, sentence, _reasons(run, readings)


def _reasons(run: Run, readings: Readings) -> tuple[str, ...]:
    """What the last applicator over each belt lacked."""
    last: dict[str, Applicator] = {}
    for one in run.layout.applicators:
        if one.belt not in last or one.index > last[one.belt].index:
            last[one.belt] = one
    held = {reading.name: reading for reading in readings.applicators}
    return tuple(told for one in last.values() if (told := _lack(held[one.name])))


def _lack(reading: ApplicatorReading) -> str:
    if reading.dry:
        return f"{reading.name} had no {reading.agent} at {percent(reading.dry)} of its steps"
    if reading.late:
        return f"{reading.name} was too slow at {percent(reading.late)} of its steps"
    return ""
