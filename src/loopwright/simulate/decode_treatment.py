"""Arrays -> State: marks on belts and in stations, and applicators."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from loopwright.simulate import columns as col
from loopwright.simulate.columns import Part
from loopwright.simulate.division import Members
from loopwright.simulate.state import ApplicatorCount, ApplicatorState


def decode_marks(members: Members, part: Part) -> dict[str, tuple[int, ...]]:
    """The marks on the cells of belts where there are any."""
    found = {}
    rows = zip(part.belts.rows, members.belts, members.palette, strict=True)
    for row, name, number in rows:
        palette = members.palettes[number]
        if not any(kind.mark for kind in palette):
            continue
        marks = tuple(
            palette[(code >> col.COUNT_BITS).bit_length() - 1].mark if code else 0
            for code in part.belts.cells[row.origin : row.origin + row.length].tolist()
        )
        if any(marks):
            found[name] = marks
    return found


def decode_grades(
    members: Members, part: Part
) -> Iterator[tuple[Mapping[str, tuple[int, ...]], int]]:
    """Of each station the marked units of its inputs, and the grade of its cycle."""
    for number, _ in enumerate(members.stations):
        row = part.stations.rows[number]
        if not row.grades:
            yield {}, 0
            continue
        marked = {}
        for entry in range(row.input_first, row.input_last):
            above = part.treatment.held[entry].tolist()
            while above and not above[-1]:
                above.pop()
            if above:
                material = members.kinds[part.stations.inputs[entry].material].material
                marked[material] = tuple(above)
        yield marked, int(part.treatment.batch[number])


def count_grades(members: Members, part: Part) -> Iterator[tuple[int, ...]]:
    """Of each station the cycles ended by grade."""
    ended = part.treatment.grades["ended"].tolist()
    for number, _ in enumerate(members.stations):
        first = int(part.treatment.grade_first[number])
        yield tuple(ended[first : first + int(part.stations.rows[number].grades)])


def decode_applicators(members: Members, part: Part) -> dict[str, ApplicatorState]:
    """Tanks, and what is left of units opened."""
    found = {}
    for row, name in zip(part.treatment.rows, members.applicators, strict=True):
        tank = part.stations.inputs[part.stations.rows[row.station].input_first]
        credit = Fraction(int(row.credit), int(row.one)) if row.one else Fraction(0)
        found[name] = ApplicatorState(
            int(tank.held), Fraction(int(row.left), int(row.whole)), credit
        )
    return found


def count_applicators(members: Members, part: Part) -> dict[str, ApplicatorCount]:
    """The counters of applicators."""
    return {
        name: ApplicatorCount(
            *(int(row[field]) for field in ("carriers", "units", "spent", "dry", "late"))
        )
        for row, name in zip(part.treatment.rows, members.applicators, strict=True)
    }
