"""Docks as marks: half arrows where supplies arrive and where things leave."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loopwright.drawing.belts import between, centre, letters_word, travel
from loopwright.drawing.mark import CELL, Area, Mark, Point, Text
from loopwright.grid import Cell, Heading
from loopwright.layout.layout import Layout

_LOOK = 12


def _house(at: Point, heading: Heading, length: float, inward: bool) -> tuple[Point, ...]:
    """A half arrow whose tip (inward) or back lies at `at`; `heading` is the way things go."""
    dx, dy = heading.vector
    tip = (at[0], at[1]) if inward else (at[0] + dx * length, at[1] + dy * length)
    flat = [(-length, 4.5), (-4.0, 4.5), (0.0, 0.0), (-4.0, -4.5), (-length, -4.5)]
    return tuple((tip[0] + dx * a - dy * b, tip[1] + dy * a + dx * b) for a, b in flat)


@dataclass(frozen=True, slots=True)
class Dock:
    """A source or drain as drawn: `at` is where it meets its belt, `heading` the way of flow.

    `length` of its half arrow, and `free` length of floor for it and its letter [sheet units].
    """

    name: str
    inward: bool
    at: Point
    heading: Heading
    length: float
    free: float
    ink: str
    letters: str
    tooltip: str

    def point(self, distance: float) -> Point:
        """The point that far from the belt, through the dock and beyond."""
        dx, dy = self.heading.vector
        way = -distance if self.inward else distance
        return (self.at[0] + dx * way, self.at[1] + dy * way)


def docks(layout: Layout, carried: dict[str, tuple[str, ...]], occupied: set[Cell]) -> list[Dock]:
    """All docks, as long as the free floor before them allows; outside of the site all is free."""
    belts = {belt.name: belt for belt in layout.belts if belt.path}
    numbers = {material.name: i + 1 for i, material in enumerate(layout.materials)}
    letters = {material.name: material.letter for material in layout.materials}
    found: list[Dock] = []
    for source in layout.sources:
        belt = belts.get(source.belt)
        heading = travel(belt)[0] if belt else Heading.EAST
        tail = belt.path[0] if belt else source.at
        place = _dock_place(source.at, tail, heading, occupied, -1)
        ink = f"dock{numbers[source.material]}" if source.material in numbers else "drain"
        rate = "as fast as taken" if source.rate is None else f"{source.rate} carriers/s"
        tooltip = f"{source.name}: dock, {source.material}, {source.load} a carrier, {rate}"
        letter = letters.get(source.material, "?")
        found.append(Dock(source.name, True, *place, ink, letter, tooltip))
    for drain in layout.drains:
        belt = belts.get(drain.belt)
        heading = travel(belt)[-1] if belt else Heading.EAST
        head = belt.path[-1] if belt else drain.at
        place = _dock_place(drain.at, head, heading, occupied, 1)
        taken = [letters[name] for name in carried.get(drain.belt, ())]
        tooltip = f"{drain.name}: {drain.purpose} dock, takes {' '.join(taken) or 'nothing'}"
        found.append(Dock(drain.name, False, *place, "drain", letters_word(taken), tooltip))
    return found


def _dock_place(
    at: Cell, end: Cell, heading: Heading, occupied: set[Cell], way: int
) -> tuple[Point, Heading, float, float]:
    """Where the dock of a belt that ends at `end` meets it, its heading, length and free length.

    With free floor behind it the dock leaves the belt's own cell to the belt.
    """
    x, y = centre(at)
    dx, dy = heading.vector
    floor = at.at_level(0)
    free = 0
    while free < _LOOK and floor.step(heading, way * (free + 1)) not in occupied:
        free += 1
    half = CELL / 2
    if floor == end.at_level(0) and free > 1:
        return (x + dx * way * half, y + dy * way * half), heading, 2 * CELL, free * CELL
    length = CELL * (2 if free else 1)
    return (x - dx * way * half, y - dy * way * half), heading, length, (free + 1) * CELL


def dock_marks(found: list[Dock]) -> Iterator[Mark]:
    """Half arrows with the letter: filled where supplies arrive, outlined where things leave."""
    for dock in found:
        shape = _house(dock.at, dock.heading, dock.length, dock.inward)
        yield Area(shape, dock.ink, "docks", tooltip=dock.tooltip)
        place = dock.point(dock.length * (0.6 if dock.inward else 0.42))
        size = 6 if len(dock.letters) < 2 else 4.4
        yield Text(place, dock.letters[:4], size, "letter", "docks", "letters")


def dock_letters(found: list[Dock], u: float) -> Iterator[Mark]:
    """Large letters beside the docks, one label for docks close together, where there is room."""
    sides: dict[tuple[Heading, float], list[Dock]] = {}
    for dock in found:
        way = dock.heading.reverse if dock.inward else dock.heading
        across = 0 if way.vector[0] else 1
        sides.setdefault((way, dock.point(dock.length)[across]), []).append(dock)
    for (way, _), docks_here in sides.items():
        along = 1 if way.vector[0] else 0
        bundle: list[Dock] = []
        for dock in sorted(docks_here, key=lambda dock: dock.at[along]):
            if bundle and dock.at[along] - bundle[-1].at[along] >= 1.05 * u:
                yield from _bundle_label(bundle, way, u)
                bundle = []
            bundle.append(dock)
        yield from _bundle_label(bundle, way, u)


def _bundle_label(bundle: list[Dock], way: Heading, u: float) -> Iterator[Mark]:
    words = list(dict.fromkeys(dock.letters for dock in bundle))
    text = letters_word(words)[:12]
    upright = way.vector[0] == 0
    need = max(dock.length for dock in bundle) + u * (1.2 if upright else 0.3 + 0.75 * len(text))
    if u < 8 or not text or need > min(dock.free for dock in bundle):
        return
    one, other = (dock.point(dock.length + (0.7 if upright else 0.25) * u)
                  for dock in (bundle[0], bundle[-1]))  # fmt: skip
    anchor = {Heading.EAST: "start", Heading.WEST: "end"}.get(way, "middle")
    yield Text(between(one, other, 0.5), text, u, "letter", "docks", "signs", anchor=anchor)
