"""Who feeds whom in a layout, as far as the search for causes asks."""

from __future__ import annotations

from fractions import Fraction

from loopwright.layout.layout import Recipe
from loopwright.simulate.reading.readings import BeltReading, JointReading, Readings, SourceReading
from loopwright.simulate.run import Run

WAIT = Fraction(1, 100)
"""Share of time: stations that starve, or are blocked, for less are not told."""

FULL = Fraction(49, 50)
"""Share of use from which a belt, a gate's slots, a joint's gaps or a picker count as used up."""

SPARE = Fraction(1, 50)
"""Share of ready loads refused: a dock below it has nothing left to give."""

RETURNED = Fraction(1, 10)
"""Share of a gate's carriers that came back: told from here on."""


class Trace:
    """The readings of a run by device, and the way from device to device."""

    def __init__(self, run: Run, readings: Readings) -> None:
        layout = run.layout
        self.belts: dict[str, BeltReading] = {belt.name: belt for belt in readings.belts}
        self.feeder: dict[str, JointReading | SourceReading] = {}
        self.flanks: dict[str, list[JointReading]] = {}
        self.exits: dict[str, JointReading] = {}
        for joint in readings.joints:
            for inlet, _ in joint.passed:
                self.exits[inlet] = joint
            if joint.kind == "side merge":
                self.flanks.setdefault(joint.belt, []).append(joint)
            else:
                self.feeder[joint.belt] = joint
        for source in readings.sources:
            self.feeder[source.belt] = source
        self._divided = {out: divert.inlet for divert in layout.diverts for out in divert.outlets}
        self._speeds = {belt.name: belt.speed for belt in layout.belts}
        self._recipes = {recipe.name: recipe for recipe in layout.recipes}
        self._recipe = {one.name: self._recipes[one.recipe] for one in layout.stations}
        self._row = {station.name: station.row for station in layout.stations}
        self._lanes: dict[str, dict[str, None]] = {}
        self._setters: dict[str, dict[str, None]] = {}
        self._known: dict[str, tuple[SourceReading, ...]] = {}
        self.inlets: dict[str, list[str]] = {}
        self.outlets: dict[str, list[str]] = {}
        for picker in layout.pickers:
            taken, target = picker.source.device, picker.target.device
            if target in self._recipe:
                self.inlets.setdefault(target, []).append(picker.name)
                if taken in self.belts:
                    self._lanes.setdefault(self._row[target], {})[taken] = None
            if taken in self._recipe:
                self.outlets.setdefault(taken, []).append(picker.name)
                if target in self.belts:
                    self._setters.setdefault(target, {})[taken] = None

    @property
    def full_rate(self) -> Fraction:
        """What all stations would make without any wait [units/s], all batches marked that gain."""
        return sum((self.makes(name) for name in self._recipe), Fraction(0))

    def makes(self, station: str) -> Fraction:
        """What `station` makes while busy [units/s], of marked batches where these give more."""
        recipe = self._recipe[station]
        units = sum(count for _, count in recipe.outputs) * recipe.batch_yield
        factor = max([Fraction(1), *(one.batch_yield * one.speed for one in recipe.grades)])
        return units * factor / recipe.cycle

    def needs(self, row: str) -> dict[str, Fraction]:
        """What the stations of `row` use of each material while all are busy [units/s], with the
        quickest batches."""
        needs: dict[str, Fraction] = {}
        for recipe in self._recipes_of(row):
            cycle = recipe.cycle / max([Fraction(1), *(one.speed for one in recipe.grades)])
            for material, units in recipe.inputs:
                needs[material] = needs.get(material, Fraction(0)) + units / cycle
        return needs

    def inputs_of(self, row: str) -> tuple[str, ...]:
        """The materials that stations of `row` use."""
        return tuple(self.needs(row))

    def speed(self, belt: str) -> Fraction:
        """Speed of `belt` [carriers/s]."""
        return self._speeds[belt]

    def lanes_of(self, row: str) -> tuple[str, ...]:
        """Belts that pickers of `row` take from."""
        return tuple(self._lanes.get(row, ()))

    def setters_of(self, belt: str) -> tuple[str, ...]:
        """Stations from which pickers set down on `belt`."""
        return tuple(self._setters.get(belt, ()))

    def loop_of(self, row: str) -> tuple[BeltReading, ...]:
        """The lanes of `row`, each with the belts that lead its end back to its head."""
        found: dict[str, None] = {}
        for lane in self.lanes_of(row):
            found[lane] = None
            way: list[str] = []
            at = lane
            while at in self.exits and self.exits[at].belt not in (lane, *way):
                at = self.exits[at].belt
                way.append(at)
            if at in self.exits and self.exits[at].belt == lane:
                found.update(dict.fromkeys(way))
        return tuple(self.belts[name] for name in found)

    def sources_of(self, belt: str) -> tuple[SourceReading, ...]:
        """Sources from which carriers come to `belt`, on whatever way."""
        if belt not in self._known:
            self._known[belt] = self._find_sources(belt)
        return self._known[belt]

    def _find_sources(self, belt: str) -> tuple[SourceReading, ...]:
        found: dict[str, SourceReading] = {}
        seen, open_ends = {belt}, [belt]
        while open_ends:
            at = open_ends.pop()
            ways = [self._divided[at]] if at in self._divided else []
            feeder = self.feeder.get(at)
            if isinstance(feeder, SourceReading):
                found[feeder.name] = feeder
            for joint in [
                *([feeder] if isinstance(feeder, JointReading) else []),
                *self.flanks.get(at, []),
            ]:
                ways.extend(inlet for inlet, _ in joint.passed)
            for way in ways:
                if way not in seen:
                    seen.add(way)
                    open_ends.append(way)
        return tuple(found.values())

    def rows_on(self, source: str) -> tuple[str, ...]:
        """Rows to which the carriers of `source` can come."""
        rows = [
            row
            for row, lanes in self._lanes.items()
            if any(source == one.name for lane in lanes for one in self.sources_of(lane))
        ]
        return tuple(rows)

    def _recipes_of(self, row: str) -> list[Recipe]:
        return [self._recipe[name] for name, own in self._row.items() if own == row]
