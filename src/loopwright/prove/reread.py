"""The checker's own reading of a loop, straight from the layout document."""

from __future__ import annotations

from fractions import Fraction
from math import gcd

from loopwright.prove.refusal import Document, need
from loopwright.prove.remix import Mixed, mixes
from loopwright.prove.retrace import Inlet, Supplies, natural


class Loop:
    """A loop of the document: one gate, one speed, stations that take with commit pickers."""

    def __init__(self, layout: Document, first: str) -> None:
        """Read the loop that begins with the belt `first`.

        Raises
        ------
        Refusal
            It is not such a loop.
        """
        belts = {belt["name"]: belt for belt in layout["belts"]}
        joints = [(gate, [*gate["inlets"], gate["main"]]) for gate in layout["gates"]]
        joints += [(merge, merge["inlets"]) for merge in layout["merges"]]
        ahead = {inlet: joint["outlet"] for joint, inlets in joints for inlet in inlets}
        drains = {drain["belt"]: drain["name"] for drain in layout["drains"]}
        ways = [
            divert
            for divert in layout["diverts"]
            if divert["rule"] == "overflow"
            and len(divert["outlets"]) == 2
            and divert["outlets"][1] in drains
        ]
        ahead |= {way["inlet"]: way["outlets"][0] for way in ways}
        self.belts = [first]
        while ahead.get(self.belts[-1], first) != first and len(self.belts) <= len(belts):
            self.belts.append(ahead[self.belts[-1]])
        need(ahead.get(self.belts[-1]) == first, "these belts do not close")
        self.lengths = [len(belts[belt]["path"]) for belt in self.belts]
        self.cells = sum(self.lengths)
        speeds = {Fraction(belts[belt]["speed"]) for belt in self.belts}
        need(len(speeds) == 1, "the belts do not step together")
        self.speed = speeds.pop()
        into = [joint for joint, _ in joints if joint["outlet"] in self.belts]
        gates = [joint for joint in into if "rule" in joint and "main" in joint]
        need(len(gates) == 1, "there has to be one gate")
        self.gate = gates[0]
        need(self.gate["outlet"] == first and self.gate["main"] == self.belts[-1], "gate")
        need(all(j is self.gate or len(j["inlets"]) == 1 for j in into), "a merge lets in more")
        for kind, key in (
            ("side_merges", "main"),
            ("side_merges", "inlet"),
            ("drains", "belt"),
            ("sources", "belt"),
        ):
            need(all(d[key] not in self.belts for d in layout[kind]), f"{kind} touch the loop")
        mine = [way for way in ways if way["inlet"] in self.belts]
        others = [divert for divert in layout["diverts"] if divert not in mine]
        need(len(mine) < 2, "more than one way out")
        need(
            not {b for d in others for b in (d["inlet"], *d["outlets"])} & set(self.belts),
            "diverts touch the loop",
        )
        self.waste = mine[0] if mine else None
        self.drain = drains[self.waste["outlets"][1]] if self.waste else ""
        if self.waste:
            self._free_way_out(layout, Fraction(belts[self.waste["outlets"][1]]["speed"]))
        need(all(p["target"]["device"] not in self.belts for p in layout["pickers"]), "put down")
        supplies = Supplies(layout)
        self.locked = self.gate["rule"] == "ratio-locked"
        self.drained = self.locked and self.belts[-1] in self.gate["pattern"]
        self.feeds: list[Inlet] = []
        self.mixed: list[Mixed] = []
        for inlet in self.gate["inlets"]:
            if self.drained and mixes(supplies, inlet):
                self.mixed.append(Mixed(supplies, inlet, self.speed))
            else:
                self.feeds.append(supplies.inlet(inlet, self.speed))
        brings = {feed.belt: feed.material for feed in self.feeds}
        self.pattern = [brings.get(inlet) for inlet in self.gate["pattern"]]
        for mixed in self.mixed:
            self.feeds += mixed.lanes.values()
        need(self.drained == (self.waste is not None), "what comes back may stand, or has no way")
        self.materials = list(
            dict.fromkeys(m for m in brings.values() if not self.locked or m in self.pattern)
        )
        self.materials += sorted(
            {m for mixed in self.mixed for m in mixed.share} - set(brings.values())
        )
        self.any_start = self.drained
        self.seam = min(self.belts, key=natural)
        past = self.belts.index(self.waste["outlets"][0]) if self.waste else len(self.belts)
        last = self.lengths[self.belts.index(self.seam)] - 1
        self.seen = {
            (belt, index)
            for belt, cells in zip(self.belts[:past], self.lengths, strict=False)
            for index in range(cells)
        } - {(self.seam, last)}
        self._drawn(layout)

    def places(self, material: str) -> Fraction:
        """Places of `material` in the pattern, those of mixed inlets by its share."""
        found = Fraction(self.pattern.count(material))
        for mixed in self.mixed:
            turns = self.gate["pattern"].count(mixed.belt)
            found += turns * mixed.share.get(material, Fraction(0))
        return found

    def wait(self, material: str) -> int:
        """Patterns within which `material` enters."""
        pattern = self.gate["pattern"]
        found = [1] if material in self.pattern else []
        for mixed in self.mixed:
            if material in mixed.share:
                found.append(mixed.within(material, pattern.count(mixed.belt)))
        return min(found)

    def _free_way_out(self, layout: Document, speed: Fraction) -> None:
        """Nothing may ever stand on the belt to the drain, which steps at `speed` [cells/s]."""
        assert self.waste is not None
        out = self.waste["outlets"][1]
        need(speed >= self.speed, "the way to the drain is slower than the loop")
        need(all(side["main"] != out for side in layout["side_merges"]), "a merge on the way out")
        need(all(p["target"]["device"] != out for p in layout["pickers"]), "things put on it")

    def _drawn(self, layout: Document) -> None:
        """The pickers and stations on the loop; all carriers show on the cells `seen`."""
        taps = [p for p in layout["pickers"] if p["source"]["device"] in self.belts]
        self.recipes = {recipe["name"]: recipe for recipe in layout["recipes"]}
        inputs = {s["name"]: self._inputs(s) for s in layout["stations"]}
        self.full = {m["name"]: m["stack"] for m in layout["materials"]}
        good, unit = [], set()
        for picker in taps:
            place = (picker["source"]["device"], picker["source"]["index"])
            if picker["habit"] != "commit" or place not in self.seen:
                continue
            target, takes = picker["target"]["device"], picker.get("takes", "units")
            biggest = max((self.most(m) for m in inputs.get(target, ())), default=0)
            if takes == "units" or (takes == "hands" and picker["hand"] == 1):
                good.append(picker)
                unit.add(target)
            elif takes == "carriers" and picker["hand"] >= biggest:
                good.append(picker)
        fed = {picker["target"]["device"] for picker in good}
        self.stations = [s for s in layout["stations"] if s["name"] in fed]
        names = {station["name"] for station in self.stations}
        need(all(p["target"]["device"] in names for p in taps), "a way out beside the stations")
        need(bool(names), "no station draws on the loop")
        self.commit, self.taps = len(good), len(taps)
        self.whole = [s for s in self.stations if s["name"] not in unit]
        self.unspent = all(
            p["habit"] == "commit" and p.get("takes", "units") == "carriers" for p in taps
        )
        self.pure = self.unspent and not any(
            p["target"]["device"] in names and p["source"]["device"] not in self.belts
            for p in layout["pickers"]
        )

    def _inputs(self, station: Document) -> list[str]:
        """The inputs of `station` that come by the loop."""
        return [m for m, _ in self.recipes[station["recipe"]]["inputs"] if m in self.materials]

    def most(self, material: str) -> int:
        """Units on a carrier of `material` at most."""
        loads = [feed.load for feed in self.feeds if feed.material == material]
        return max(int(self.full[material]), *loads)

    def step(self, material: str, amount: int) -> int:
        """By how many units, or a multiple, the stock of a station changes."""
        loads = {feed.load for feed in self.feeds if feed.material == material}
        alike = loads == {self.full[material]}
        kept = self.pure and alike and not self.any_start
        return gcd(amount, self.full[material]) if kept else 1

    def held(self, material: str) -> int:
        """Units that each of the stations, which are alike, holds when it leaves a carrier."""
        cap = int(dict(self.stations[0]["caps"])[material])
        return max(0, cap - self.most(material) + 1) if self.whole else cap

    def caps(self, recipe: str, material: str) -> list[int]:
        """Caps [units] of `material` at the stations that run `recipe`."""
        return [dict(s["caps"])[material] for s in self.stations if s["recipe"] == recipe]

    def whole_caps(self, recipe: str, material: str) -> list[int]:
        """The same for those that take carriers whole only, and `material` from the loop."""
        if material not in self.materials:
            return []
        return [dict(s["caps"])[material] for s in self.whole if s["recipe"] == recipe]

    def used(self) -> dict[str, Document]:
        """The recipes that run on the loop, in the order of the stations."""
        order = sorted(self.stations, key=lambda station: natural(station["name"]))
        return {s["recipe"]: self.recipes[s["recipe"]] for s in order}

    def needed(self) -> list[str]:
        """What comes by the loop and is an input of some station."""
        wanted = {m for recipe in self.used().values() for m, _ in recipe["inputs"]}
        return [material for material in self.materials if material in wanted]

    def alone(self, other: list[str]) -> Document:
        """The one recipe of the loop, all of whose inputs and nothing else come by it.

        Raises
        ------
        Refusal
            There are several, or caps differ, or `other` inputs come by other ways.
        """
        recipes = list(self.used().values())
        caps = {tuple(sorted(dict(s["caps"]).items())) for s in self.stations}
        need(len(recipes) == 1 and len(caps) == 1 and not other, "the stations are not all alike")
        need({m for m, _ in recipes[0]["inputs"]} == set(self.materials), "something else enters")
        return recipes[0]
