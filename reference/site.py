"""A layout with its state, read so that the rules of a tick can be told in few words."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil
from typing import Any

from reference.order import belt_order, common_tick, natural
from reference.start import empty_state, read_state

Document = dict[str, Any]
Carrier = list[Any]
"""Material, units and mark."""
Cells = list[Carrier | None]


def by_name(devices: Iterable[Document]) -> dict[str, Document]:
    """The devices under their names, in the natural order of these."""
    return {device["name"]: device for device in sorted(devices, key=lambda d: natural(d["name"]))}


def inlets_of(joint: Document) -> list[str]:
    """The inlets of a merge or gate, the main of a gate last."""
    return [*joint["inlets"], *filter(None, [joint.get("main")])]


def in_turn(first: int, count: int) -> list[int]:
    """The numbers below `count`, from `first` on and round."""
    return [(first + index) % count for index in range(count)]


class Site:
    """Devices by name in natural order, what is joined to what, and the working state `now`.

    `inputs` holds the units of one cycle of each station; `step`, `swing` and `cycle` [ticks] are
    those of belts, pickers and stations, the last for each grade from 0 on. `now` has the shape of
    a state document, but with fractions as numbers, carriers with their mark, and what is in
    stations and stores by mark.
    """

    def __init__(
        self, layout: Document, outages: Iterable[Document], state: Document | None
    ) -> None:
        """Read the document `layout`; start empty, or from the document `state`."""
        self.layout = layout
        self.materials = list(by_name(layout["materials"]))
        self.belts = by_name(layout["belts"])
        self.stations = by_name(layout["stations"])
        self.stores = by_name(layout["stores"])
        self.pickers = by_name(layout["pickers"])
        self.applicators = by_name(layout["applicators"])
        recipes = by_name(layout["recipes"])
        self.recipes = {name: recipes[self.stations[name]["recipe"]] for name in self.stations}
        self.inputs = {
            name: self._ordered(recipe["inputs"]) for name, recipe in self.recipes.items()
        }
        self.grades = {name: recipe["grades"] for name, recipe in self.recipes.items()}
        self._join_belts()
        self._rank_pickers()

        swings = {name: Fraction(picker["swing"]) for name, picker in self.pickers.items()}
        cycles = {
            name: [self._cycle(name, grade) for grade in range(len(grades) + 1)]
            for name, grades in self.grades.items()
        }
        self.step_time = {name: 1 / Fraction(belt["speed"]) for name, belt in self.belts.items()}
        all_cycles = [cycle for station in cycles.values() for cycle in station]
        self.tick = common_tick([*self.step_time.values(), *swings.values(), *all_cycles])
        self.step = {name: int(time / self.tick) for name, time in self.step_time.items()}
        self.swing = {name: int(time / self.tick) for name, time in swings.items()}
        self.cycle = {
            name: [int(time / self.tick) for time in times] for name, times in cycles.items()
        }
        self.outages = [
            (outage["source"], ceil(start / self.tick), ceil((start + span) / self.tick))
            for outage in outages
            for start, span in [(Fraction(outage["start"]), Fraction(outage["span"]))]
        ]
        self.now = read_state(empty_state(layout) if state is None else state)
        self.trouble: Any = None

    def _ordered(self, counts: list[list[Any]]) -> dict[str, int]:
        """Units by material, in material order."""
        return {name: count for name in self.materials for of, count in counts if of == name}

    def batch(self, station: str, grade: int) -> dict[str, Fraction]:
        """Units of each output of a cycle, in material order."""
        recipe = self.recipes[station]
        factor = Fraction(recipe["batch_yield"])
        if grade:
            factor *= Fraction(self.grades[station][grade - 1]["batch_yield"])
        outputs = self._ordered(recipe["outputs"])
        return {material: count * factor for material, count in outputs.items()}

    def _cycle(self, station: str, grade: int) -> Fraction:
        """Time of a cycle [s]."""
        cycle = Fraction(self.recipes[station]["cycle"])
        return cycle / Fraction(self.grades[station][grade - 1]["speed"]) if grade else cycle

    def largest_stack(self, applicator: Document) -> int:
        """The largest stack of the materials that the applicator marks."""
        named = applicator["materials"]
        stacks = {one["name"]: int(one["stack"]) for one in self.layout["materials"]}
        return max(stack for name, stack in stacks.items() if name in named or not named)

    def in_outage(self, source: str) -> bool:
        """Whether `source` gives nothing now."""
        return any(who == source and a <= self.now["tick"] < b for who, a, b in self.outages)

    def _join_belts(self) -> None:
        """What a belt's head ends at, what enters its flanks and its tail, and the belt order."""
        layout = self.layout
        self.drain_at = {drain["belt"]: drain for drain in layout["drains"]}
        self.divert_at = {divert["inlet"]: divert for divert in layout["diverts"]}
        self.source_at = {source["belt"]: source for source in layout["sources"]}
        self.merge_at = {merge["outlet"]: merge for merge in layout["merges"]}
        self.gate_at = {gate["outlet"]: gate for gate in layout["gates"]}
        self.flanks_of: dict[str, list[Document]] = {name: [] for name in self.belts}
        for flank in by_name(layout["side_merges"]).values():
            self.flanks_of[flank["main"]].append(flank)
        self.over: dict[str, list[Document]] = {name: [] for name in self.belts}
        for applicator in self.applicators.values():
            self.over[applicator["belt"]].append(applicator)

        downstream: dict[str, set[str]] = {name: set() for name in self.belts}
        for joint in layout["merges"] + layout["gates"]:
            for inlet in inlets_of(joint):
                downstream[inlet].add(joint["outlet"])
        for flank in layout["side_merges"]:
            downstream[flank["inlet"]].add(flank["main"])
        for divert in layout["diverts"]:
            downstream[divert["inlet"]].update(divert["outlets"])
        self.order, self.breaks = belt_order(downstream)

    def _rank_pickers(self) -> None:
        """The pick order (3.2), and which commit pickers work towards each box."""

        def rank(picker: Document) -> tuple[Any, ...]:
            device, index = picker["source"]["device"], picker["source"]["index"]
            kinds = (self.belts, self.stations, self.stores)
            kind = [device in devices for devices in kinds].index(True)
            return kind, natural(device), index or 0, natural(picker["name"])

        self.pick_order = [picker["name"] for picker in sorted(self.pickers.values(), key=rank)]
        boxes = [*self.stations, *self.stores, *self.applicators]
        self.committed: dict[str, list[str]] = {name: [] for name in boxes}
        for name, picker in self.pickers.items():
            if picker["habit"] == "commit" and picker["target"]["device"] not in self.belts:
                self.committed[picker["target"]["device"]].append(name)
