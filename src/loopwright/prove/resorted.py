"""The checker's own reading of a loop whose leftovers come back on sidings."""

from __future__ import annotations

from fractions import Fraction

from loopwright.prove.refusal import Document, need
from loopwright.prove.reread import Loop
from loopwright.prove.retrace import Supplies


class SortedLoop(Loop):
    """A row behind a ratio-locked gate, and a siding of each material back to its feed.

    `row` are the belts up to the last divert; `ways` give of each material its siding, feed, supply
    and the cells from the gate to the siding.
    """

    def __init__(self, layout: Document, first: str) -> None:
        """Read the loop of which the row begins with the belt `first`.

        Raises
        ------
        Refusal
            It is not such a loop.
        """
        self._belts = {belt["name"]: len(belt["path"]) for belt in layout["belts"]}
        self._merges = {merge["outlet"]: merge for merge in layout["merges"]}
        gates = [gate for gate in layout["gates"] if gate["outlet"] == first]
        need(len(gates) == 1 and gates[0]["main"] is None, "no gate of a sorted loop")
        self.gate = gates[0]
        self.locked, self.drained, self.any_start = True, False, True
        self.mixed = []
        need(self.gate["rule"] == "ratio-locked", "the gate does not wait")
        feeds = list(self.gate["inlets"])
        ends = [self._end(feed) for feed in feeds]
        sidings = [siding for siding, _ in ends]
        mine = {belt["name"]: Fraction(belt["speed"]) for belt in layout["belts"]}
        speeds = {mine[belt] for belt in (first, *sidings, *feeds)}
        need(len(speeds) == 1, "the belts do not step together")
        self.speed = speeds.pop()
        supplies = Supplies(layout)
        self.feeds = [supplies.inlet(supply, self.speed) for _, supply in ends]
        self.materials = [feed.material for feed in self.feeds]
        need(len(set(self.materials)) == len(feeds), "two feeds bring the same")
        brings = dict(zip(feeds, self.materials, strict=True))
        self.pattern = [brings.get(inlet) for inlet in self.gate["pattern"]]
        self.row: list[str] = []
        self.ways: dict[str, tuple[str, str, str, int]] = {}
        shared: list[list[str]] = []
        for (siding, supply), feed, material in zip(ends, feeds, self.materials, strict=True):
            way = self._way(layout, first, material, sidings)
            need(way[-1] == siding, f"{material} comes to {way[-1]}")
            shared.append(way[:-1])
            self.row += [belt for belt in way[:-1] if belt not in self.row]
            cells = sum(self._belts[belt] for belt in way[:-1])
            self.ways[material] = (siding, feed, supply, cells)
        need(all(mine[belt] == self.speed for belt in self.row), "the row has two speeds")
        self.belts = [*self.row, *sidings, *feeds]
        need(len(set(self.belts)) == len(self.belts), "a belt serves twice")
        self.lengths = [self._belts[belt] for belt in self.belts]
        self.cells = sum(self._belts[belt] for belt in self.row)
        self._closed(layout, [supply for _, supply in ends])
        sorts = {divert["inlet"] for divert in layout["diverts"]}
        before = [belt for belt in self.row if all(belt in way for way in shared)]
        self.seen = {
            (belt, index)
            for belt in before
            for index in range(self._belts[belt] - (belt not in sorts))
        }
        self._drawn(layout)

    def _end(self, feed: str) -> tuple[str, str]:
        """The siding and the supply that meet before `feed`, the siding first."""
        merge = self._merges.get(feed)
        need(merge is not None and merge["rule"] == "priority", f"no priority before {feed}")
        assert merge is not None
        need(len(merge["inlets"]) == 2, f"{feed} is fed by more than two")
        return merge["inlets"][0], merge["inlets"][1]

    def _way(self, layout: Document, first: str, material: str, sidings: list[str]) -> list[str]:
        """The belts on which `material` comes from the gate to the first siding that it meets."""
        sorts = {divert["inlet"]: divert for divert in layout["diverts"]}
        plain = {m["inlets"][0]: o for o, m in self._merges.items() if len(m["inlets"]) == 1}
        way = [first]
        while way[-1] not in sidings:
            divert = sorts.get(way[-1])
            if divert is None:
                need(way[-1] in plain, f"{way[-1]} leads away")
                way.append(plain[way[-1]])
            else:
                need(divert["rule"] == "material", f"{divert['name']} does not sort")
                way.append(dict(divert["filters"]).get(material, divert["outlets"][-1]))
            need(len(set(way)) == len(way), "the row goes round by itself")
        return way

    def _closed(self, layout: Document, supplies: list[str]) -> None:
        """Nothing else comes on or leaves, and nobody puts on or takes from sidings and feeds."""
        inside = set(self.belts)
        aside = inside - set(self.row)
        for divert in layout["diverts"]:
            ends = {divert["inlet"], *divert["outlets"]}
            need(not ends & inside or ends <= inside, f"{divert['name']} leads away")
        for merge in layout["merges"]:
            into = set(merge["inlets"])
            known = merge["outlet"] in inside and into - inside <= set(supplies)
            need(known or not {merge["outlet"], *into} & inside, f"{merge['name']} joins the loop")
            alone = len(into) == 1 or merge["outlet"] in self.gate["inlets"]
            need(merge["outlet"] not in inside or alone, f"{merge['name']} lets in more")
        for gate in layout["gates"]:
            ends = {*gate["inlets"], gate["outlet"], gate["main"]}
            need(gate is self.gate or not ends & inside, f"{gate['name']} touches the loop")
        for kind, keys in (
            ("side_merges", ("main", "inlet")),
            ("drains", ("belt",)),
            ("sources", ("belt",)),
        ):
            touch = any(device[key] in inside for device in layout[kind] for key in keys)
            need(not touch, f"{kind} touch the loop")
        for picker in layout["pickers"]:
            need(picker["target"]["device"] not in inside, f"{picker['name']} puts on the loop")
            need(picker["source"]["device"] not in aside, f"{picker['name']} takes from a siding")

    def held_at_most(self, material: str, places: int) -> int:
        """Carriers of `material` among so many places in a row of the pattern, at most."""
        laps = self.pattern * (places // len(self.pattern) + 2)
        held = most = laps[:places].count(material)
        for begin in range(1, len(self.pattern)):
            held += (laps[begin + places - 1] == material) - (laps[begin - 1] == material)
            most = max(most, held)
        return most
