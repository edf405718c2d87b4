"""The marks that carriers have at each place, as long as no applicator lacks anything."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loopwright.finding import Finding, Place, new_finding
from loopwright.layout.carried import divert_ways, gate_inlets
from loopwright.layout.layout import Applicator, Layout, Port, Station

Found = Mapping[str, int]
"""The lowest mark of each material."""


@dataclass(frozen=True, slots=True)
class _Way:
    """From a place to a place; of `only` these materials (`keep`), or all but these."""

    start: Port
    end: Port
    only: frozenset[str] | None = None
    keep: bool = True

    def lets(self, material: str) -> bool:
        return self.only is None or (material in self.only) == self.keep


class LowestMarks:
    """The lowest mark with which each material can come to a cell of a belt or to a store.

    What comes on at a cell is marked by the applicators from there on. Marks that a lack of agent
    leaves out are not looked at.
    """

    def __init__(self, layout: Layout) -> None:
        self._ends = {belt.name: len(belt.path) - 1 for belt in layout.belts}
        self._over: dict[str, list[Applicator]] = defaultdict(list)
        for one in layout.applicators:
            self._over[one.belt].append(one)
        self._on: dict[str, dict[tuple[int, str], int]] = defaultdict(dict)
        ways: dict[str, list[_Way]] = defaultdict(list)
        for way in self._ways(layout):
            ways[way.start.device].append(way)
        open_ends = [place for place, *_ in self._given(layout)]
        for place, index, material, mark in self._given(layout):
            self._put(place, index, material, mark)
        while open_ends:
            for way in ways[open_ends.pop()]:
                for material, mark in self.at(way.start).items():
                    entry = (way.end.index or 0, material, mark)
                    if way.lets(material) and self._put(way.end.device, *entry):
                        open_ends.append(way.end.device)

    def at(self, place: Port) -> Found:
        """What can come to a place, with its lowest mark there."""
        index = place.index or 0
        found: dict[str, int] = {}
        for (first, material), mark in self._on.get(place.device, {}).items():
            if first <= index:
                raised = self._raised(place.device, first, index, material, mark)
                found[material] = min(raised, found.get(material, raised))
        return found

    def _raised(self, belt: str, first: int, last: int, material: str, mark: int) -> int:
        """The mark of what came on at cell `first` once it is at cell `last`."""
        levels = (
            one.level
            for one in self._over.get(belt, ())
            if first <= one.index <= last and (not one.materials or material in one.materials)
        )
        return max((mark, *levels))

    def _put(self, device: str, index: int, material: str, mark: int) -> bool:
        """Note what comes on; whether that is new or lower than before."""
        known = self._on[device].get((index, material))
        if known is not None and known <= mark:
            return False
        self._on[device][index, material] = mark
        return True

    def _given(self, layout: Layout) -> Iterator[tuple[str, int, str, int]]:
        """What comes from docks and from the outlets of stations: unmarked."""
        outputs = {recipe.name: recipe.outputs for recipe in layout.recipes}
        made = {station.name: outputs.get(station.recipe, ()) for station in layout.stations}
        for source in layout.sources:
            yield source.belt, 0, source.material, 0
        for picker in layout.pickers:
            for material, _ in made.get(picker.source.device, ()):
                yield picker.target.device, picker.target.index or 0, material, 0

    def _ways(self, layout: Layout) -> Iterator[_Way]:
        for merge in layout.merges:
            yield from (_Way(self._end(inlet), Port(merge.outlet, 0)) for inlet in merge.inlets)
        for side in layout.side_merges:
            yield _Way(self._end(side.inlet), Port(side.main, side.index))
        for gate in layout.gates:
            yield from (_Way(self._end(one), Port(gate.outlet, 0)) for one in gate_inlets(gate))
        for divert in layout.diverts:
            for one, other, only, keep in divert_ways(divert):
                yield _Way(self._end(one), Port(other, 0), only, keep)
        stations = {station.name for station in layout.stations}
        for picker in layout.pickers:
            if picker.source.device not in stations:
                yield _Way(picker.source, picker.target)

    def _end(self, belt: str) -> Port:
        return Port(belt, self._ends.get(belt, 0))


def taken_marks(layout: Layout) -> Mapping[str, Found]:
    """For each station whose recipe has grades, the lowest mark of each input that it can get."""
    marks = LowestMarks(layout)
    graded = {recipe.name: dict(recipe.inputs) for recipe in layout.recipes if recipe.grades}
    inputs = {one.name: graded[one.recipe] for one in layout.stations if one.recipe in graded}
    found: dict[str, dict[str, int]] = {name: {} for name in inputs}
    for picker in layout.pickers:
        held = found.get(picker.target.device)
        if held is None:
            continue
        for material, mark in marks.at(picker.source).items():
            if material in inputs[picker.target.device]:
                held[material] = min(mark, held.get(material, mark))
    return found


def usual_grades(layout: Layout) -> dict[str, int]:
    """The grade of the batches of each station whose recipe has grades, where no applicator lacks
    anything."""
    recipes = {recipe.name: recipe for recipe in layout.recipes}
    if not any(recipe.grades for recipe in recipes.values()):
        return {}
    taken = taken_marks(layout)
    found = {}
    for station in layout.stations:
        if station.name in taken:
            recipe, marks = recipes[station.recipe], taken[station.name]
            lowest = min((marks.get(name, 0) for name, _ in recipe.inputs), default=0)
            found[station.name] = min(lowest, len(recipe.grades))
    return found


def check_marks(layout: Layout) -> Iterator[Finding]:
    """Stations that gain by marks and get carriers that no applicator marks; one finding a row and
    material."""
    told: set[tuple[str, str]] = set()
    taken = taken_marks(layout) if any(recipe.grades for recipe in layout.recipes) else {}
    for station in layout.stations:
        for material, mark in taken.get(station.name, {}).items():
            row = station.row or station.name
            if mark == 0 and (row, material) not in told:
                told.add((row, material))
                yield _unmarked(row, material, station)


def _unmarked(row: str, material: str, station: Station) -> Finding:
    return new_finding(
        "LW443",
        f"{material} can come to {row} unmarked; a batch gains nothing unless all that it takes is "
        "marked",
        Place(device=station.name),
        remedy=f"let every belt that brings {material} pass an applicator",
    )
