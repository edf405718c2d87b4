"""Layouts at random: every kind of device, joined in every way that a run accepts.

Joints are made by drawing free heads and tails, so rings, dead ends and belts that feed themselves
come about; what is left over mostly gets a source or a drain, so that things flow.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import Any

from hypothesis import strategies as st

from loopwright.layout.document import layout_document
from loopwright.layout.layout import Layout
from reference.simulate import Plant
from tests.layouts.build import Build, Place

SPEEDS = ("1", "1", "1", "1/2", "2/3", "3/2", "3", "15/4")
SWINGS = ("1", "1/2", "2/3", "7/4", "4")
CYCLES = ("1", "3/2", "4", "20/3", "37")
RATES = (None, None, "1", "1/3", "3/7", "5/2")
GRADES = (("5/4", "1"), ("1", "2"), ("1/3", "3/4"), ("0", "1"), ("2", "1/2"))
"""Factors on yield and speed."""
YIELDS = ("1", "1", "5/4", "2/3", "7/2")
GATES = ("open", "ratio-locked", "counted", "windowed", "scarcest-first")
FRESH = st.integers(0, 9)
"""Chances in tenths."""


class _Draft:
    """A layout half drawn."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.materials = self.pick_some(("m 2", "m 10", "m1", "P", "Q"), 1, 5)
        self.build = Build(self.materials)
        self.belts = [f"b {number}" for number in range(draw(st.integers(3, 12)))]
        speeds = self.pick_some(SPEEDS, 1, 2)
        self.length = {}
        for belt in self.belts:
            self.length[belt] = draw(st.integers(1, 12))
            self.build.belt(belt, self.length[belt], self.pick(speeds))
        self.heads = list(draw(st.permutations(self.belts)))
        self.tails = list(draw(st.permutations(self.belts)))

    def pick(self, options: Any) -> Any:
        return self.draw(st.sampled_from(options))

    def pick_some(self, options: Any, least: int, most: int) -> list[Any]:
        many = st.lists(st.sampled_from(options), min_size=least, max_size=most, unique=True)
        return self.draw(many)

    def chance(self, tenths: int) -> bool:
        return self.draw(FRESH) < tenths

    def some_heads(self, most: int) -> list[str]:
        count = min(self.draw(st.integers(1, most)), len(self.heads))
        taken, self.heads = self.heads[:count], self.heads[count:]
        return taken

    def amounts(self, materials: Any, most: int) -> dict[str, int]:
        return {material: self.draw(st.integers(1, most)) for material in materials}

    def loop(self) -> None:
        """A lane with a gate at its tail and a return to the gate's main."""
        lane, back = self.belts[0], self.belts[1]
        self.tails.remove(lane)
        self.heads.remove(lane)
        self.heads.remove(back)
        self.tails.remove(back)
        if self.chance(5) and self.tails:
            outlets = [self.tails.pop(), back] if self.chance(5) else [back, self.tails.pop()]
            self.divert(lane, outlets)
        else:
            self.build.merge([lane], back)
        self.gate(lane, back, [lane, back])

    def gate(self, outlet: str, main: str | None, loop: list[str]) -> None:
        inlets = self.some_heads(3)
        if not inlets:
            self.build.merge([main], outlet) if main else self.build.source(outlet, self.pick_one())
            return
        rule = self.pick(GATES)
        quotas = self.pick_some(self.materials, 0, 3)
        pattern = self.draw(st.lists(st.sampled_from(inlets), min_size=1, max_size=5))
        if main and rule == "ratio-locked" and self.chance(5):
            pattern.insert(self.draw(st.integers(0, len(pattern))), main)
        self.build.gate(
            inlets,
            outlet,
            rule,
            main,
            shares=self.amounts(self.pick_some(self.materials, 0, 3), 4),
            pattern=pattern,
            quotas=self.amounts(quotas, 6),
            window=self.draw(st.integers(1, 8)),
            loop=loop,
        )

    def pick_one(self) -> str:
        return str(self.pick(self.materials))

    def divert(self, inlet: str, outlets: list[str]) -> None:
        filters = {
            material: self.pick(outlets) for material in self.pick_some(self.materials, 0, 3)
        }
        self.build.divert(inlet, outlets, self.pick(("alternate", "overflow", "material")), filters)

    def joints(self) -> None:
        """Merges, side merges, diverts and gates between heads and tails that are free."""
        for _ in range(self.draw(st.integers(0, 4))):
            if not self.heads or not self.tails:
                return
            match self.pick(("merge", "side", "divert", "gate")):
                case "merge":
                    rule = self.pick(("alternate", "priority"))
                    self.build.merge(self.some_heads(3), self.tails.pop(), rule)
                case "side":
                    main = self.pick(self.belts)
                    index = self.draw(st.integers(0, self.length[main] - 1))
                    self.build.side_merge(self.heads.pop(), main, index)
                case "divert" if len(self.tails) > 1:
                    count = min(self.draw(st.integers(2, 3)), len(self.tails))
                    outlets = [self.tails.pop() for _ in range(count)]
                    self.divert(self.heads.pop(), outlets)
                case "gate":
                    outlet = self.tails.pop()
                    main = self.heads.pop() if self.chance(4) and len(self.heads) > 1 else None
                    self.gate(outlet, main, self.pick_some(self.belts, 0, 4))

    def ends(self) -> None:
        """Sources on most of the free tails, drains at most of the free heads."""
        for belt in self.tails:
            if self.chance(8):
                load = self.draw(st.integers(1, 8))
                self.build.source(belt, self.pick_one(), self.pick(RATES), load)
        for belt in self.heads:
            if self.chance(6):
                self.build.drain(belt)

    def stations(self) -> list[str]:
        names = []
        for number in range(self.draw(st.integers(0, 3))):
            inputs = self.amounts(self.pick_some(self.materials, 1, 3), 3)
            outputs = self.amounts(self.pick_some(self.materials, 1, 2), 3)
            caps = {name: need + self.draw(st.integers(0, 6)) for name, need in inputs.items()}
            name = self.build.station(
                f"s{number + 9}",
                self.pick(CYCLES),
                inputs,
                outputs,
                caps,
                self.draw(st.integers(8, 16)),
                self.pick(YIELDS),
                self.draw(st.lists(st.sampled_from(GRADES), min_size=self.chance(6), max_size=2)),
            )
            names.append(name)
        return names

    def applicators(self) -> list[str]:
        """At most three, over few cells, so that several stand over one and hands are at it."""
        names = []
        for number in range(self.draw(st.integers(0, 3)) if self.chance(6) else 0):
            belt, cell = self.place([], False)
            name = self.build.applicator(
                f"x {number + 9}",
                (belt, cell),
                self.pick_one(),
                self.pick((1, 3, 20)),
                self.pick_some(self.materials, 0, 2),
                self.pick(("0", "1/20", "1/4", "1", "5/3")),
                self.pick((1, 1, 2, 3)),
                self.pick((None, "1/2", "7/3", "20")),
            )
            names.append(name)
        return names

    def pickers(self, stations: list[str], applicators: list[str]) -> None:
        stores = [
            self.build.store(f"box {number}", self.pick((1, 2, 3, 5, 8, 20)))
            for number in range(self.draw(st.integers(0, 2)))
        ]
        boxes = stations + stores
        ways = [(self.place(boxes, False), station) for station in 2 * stations if self.chance(7)]
        ways += [(station, self.place(boxes, self.chance(2))) for station in stations]
        ways += [(self.place(boxes, False), store) for store in 2 * stores if self.chance(5)]
        ways += [(store, self.place(boxes, self.chance(4))) for store in stores if self.chance(8)]
        ways += [(self.place(boxes, self.chance(3)), tank) for tank in applicators]
        for _ in range(self.draw(st.integers(0, 6))):
            ways.append((self.place(boxes, self.chance(4)), self.place(boxes, self.chance(6))))
        for number, (source, target) in enumerate(ways):
            self.build.picker(
                f"p{number + 5}",
                source,
                target,
                self.pick(SWINGS),
                self.draw(st.integers(1, 8)),
                self.pick(("commit", "commit", "grab")),
                self.pick(("units", "units", "carriers", "hands")),
            )

    def place(self, boxes: list[str], in_box: bool) -> Place:
        if in_box and boxes:
            stores = [name for name in boxes if name.startswith("box")]
            return str(self.pick(stores if stores and self.chance(5) else boxes))
        # few places, so that hands meet
        belt = self.pick(self.belts[:4])
        return belt, min(self.draw(st.integers(0, 3)), self.length[belt] - 1)


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """A random layout of 3 to 12 belts."""
    draft = _Draft(draw)
    if draft.chance(5):
        draft.loop()
    draft.joints()
    draft.ends()
    draft.pickers(draft.stations(), draft.applicators())
    return draft.build.layout("random")


@st.composite
def states(draw: st.DrawFn, layout: Layout) -> dict[str, Any]:
    """A start state of `layout` with carriers on its belts and units in its stations."""
    state = Plant(layout_document(layout)).state()
    names = [material.name for material in layout.materials]
    tenths = draw(st.integers(0, 10))
    random = draw(st.randoms(use_true_random=False)) if tenths else None
    if random is None:
        return state
    for cells in state["belts"].values():
        for index in range(len(cells)):
            if random.randrange(10) < tenths:
                cells[index] = [random.choice(names), random.randint(1, 8)]
    for station in layout.stations:
        held = state["stations"][station.name]["inputs"]
        for material, cap in station.caps:
            held[material] = random.randint(0, cap)
    for store in layout.stores:
        units = random.randint(0, store.cap)
        state["stores"][store.name] = {random.choice(names): units} if units else {}
    if layout.applicators and random.randrange(3):
        _mark(layout, state, random)
    for source in layout.sources:
        if source.rate is not None:
            state["credits"][source.name] = str(Fraction(random.randrange(7), 7))
    return state


def _mark(layout: Layout, state: dict[str, Any], random: Random) -> None:
    """Marks on some carriers, in stations that look at them and in stores; agent in tanks."""
    for name, cells in state["belts"].items():
        marks = [random.choice((0, 0, 1, 2)) if cell else 0 for cell in cells]
        if any(marks):
            state["marks"][name] = marks
    graded = {recipe.name for recipe in layout.recipes if recipe.grades}
    for station in layout.stations:
        held = state["stations"][station.name]
        if station.recipe in graded:
            held["marked"] = _some_marked(held["inputs"], random)
    for name, held in state["stores"].items():
        if marked := _some_marked(held, random):
            state["marked"][name] = marked
    for applicator in layout.applicators:
        tank = state["applicators"][applicator.name]
        tank["held"] = random.randint(0, applicator.cap)
        tank["left"] = str(Fraction(random.randrange(4), 4))
        if applicator.rate is not None:
            tank["credit"] = str(Fraction(random.randrange(5), 2))


def _some_marked(units: dict[str, int], random: Random) -> dict[str, list[int]]:
    """Some of the units of mark 1, or of mark 2; all of them in half of the cases."""
    least = {material: count * random.randint(0, 1) for material, count in units.items()}
    marked = {material: random.randint(least[material], count) for material, count in units.items()}
    return {
        material: random.choice(([count], [0, count]))
        for material, count in marked.items()
        if count
    }
