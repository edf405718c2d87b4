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
"""Material and units."""
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

    `inputs` and `batch` hold the units of one cycle of each station, `batch` with the yield in it;
    `step`, `swing` and `cycle` [ticks] are those of belts, pickers and stations. `now` has the
    shape of a state document, with fractions as numbers.
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
        recipes = by_name(layout["recipes"])
        self.recipes = {name: recipes[self.stations[name]["recipe"]] for name in self.stations}
        self.inputs = {
            name: self._ordered(recipe["inputs"]) for name, recipe in self.recipes.items()
        }
        self.batch = {
            name: {
                material: count * Fraction(recipe["batch_yield"])
                for material, count in self._ordered(recipe["outputs"]).items()
            }
            for name, recipe in self.recipes.items()
        }
        self._join_belts()
        self._rank_pickers()

        swings = {name: Fraction(picker["swing"]) for name, picker in self.pickers.items()}
        cycles = {name: Fraction(recipe["cycle"]) for name, recipe in self.recipes.items()}
        self.step_time = {name: 1 / Fraction(belt["speed"]) for name, belt in self.belts.items()}
        self.tick = common_tick([*self.step_time.values(), *swings.values(), *cycles.values()])
        self.step = {name: int(time / self.tick) for name, time in self.step_time.items()}
        self.swing = {name: int(time / self.tick) for name, time in swings.items()}
        self.cycle = {name: int(time / self.tick) for name, time in cycles.items()}
        self.outages = [
            (outage["source"], ceil(start / self.tick), ceil((start + span) / self.tick))
            for outage in outages
            for start, span in [(Fraction(outage["start"]), Fraction(outage["span"]))]
        ]
        self.now = empty_state(layout) if state is None else read_state(state)
        self.trouble: Any = None

    def _ordered(self, counts: list[list[Any]]) -> dict[str, int]:
        """Units by material, in material order."""
        return {name: count for name in self.materials for of, count in counts if of == name}

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
        """The pick order (3.2), and which commit pickers work towards each station and store."""

        def rank(picker: Document) -> tuple[Any, ...]:
            device, index = picker["source"]["device"], picker["source"]["index"]
            kinds = (self.belts, self.stations, self.stores)
            kind = [device in devices for devices in kinds].index(True)
            return kind, natural(device), index or 0, natural(picker["name"])

        self.pick_order = [picker["name"] for picker in sorted(self.pickers.values(), key=rank)]
        self.committed: dict[str, list[str]] = {name: [] for name in [*self.stations, *self.stores]}
        for name, picker in self.pickers.items():
            if picker["habit"] == "commit" and picker["target"]["device"] not in self.belts:
                self.committed[picker["target"]["device"]].append(name)
