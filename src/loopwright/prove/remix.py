"""The checker's own reading of a mixer behind an inlet, straight from the layout document."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, lcm

from loopwright.prove.refusal import Document, Refusal, need
from loopwright.prove.retrace import Inlet, Supplies, natural


class Mixed:
    """What comes by turns: `lanes` are the inlets of single materials that are sure, one each;
    `share` what each material has of the fresh carriers."""

    def __init__(self, supplies: Supplies, belt: str, speed: Fraction) -> None:
        """Read what comes by `belt` to a loop of `speed` [cells/s].

        Raises
        ------
        Refusal
            It is not mixed by turns, or not surely.
        """
        self.supplies, self.belt, self.speed = supplies, belt, speed
        self.docks = supplies.docks
        self.cells = {b["name"]: len(b["path"]) for b in supplies.layout["belts"]}
        self.over = self._over(belt)
        need(not self.over & supplies.gated, f"{belt} comes through another gate")
        for picker in supplies.layout["pickers"]:
            ends = {picker["source"]["device"], picker["target"]["device"]}
            need(not ends & self.over, f"{picker['name']} stands at a supply of {belt}")
        self.circle = {one for one in self.over if one in self._on(one)}
        self.seen: set[str] = set()
        self.leaf: dict[str, Fraction] = {}
        self.back: dict[str, Fraction] = {}
        self.round = self._climb(belt, Fraction(1))
        self._closed_circle()
        self.returned = sum(self.back.values(), Fraction(0))
        self._share_out()

    def _over(self, belt: str) -> set[str]:
        """`belt` and all that leads to it."""
        found, waiting = {belt}, [belt]
        while waiting:
            one = waiting.pop()
            steps = self.supplies.steps.get(one, [])
            known = bool(steps) or one in self.docks or one in self.supplies.gated
            need(known, f"nothing feeds {one}")
            more = {step.above for step in steps} - found
            found |= more
            waiting += more
        return found

    def _on(self, belt: str) -> set[str]:
        """What `belt` leads to on the way to the inlet."""
        found: set[str] = set()
        waiting = [belt]
        while waiting:
            more = set(self.supplies.ahead.get(waiting.pop(), ())) & self.over - found
            found |= more
            waiting += more
        return found

    def _kinds(self, belt: str) -> set[str]:
        return {self.docks[one]["material"] for one in self._over(belt) if one in self.docks}

    def _climb(self, belt: str, weight: Fraction) -> int:
        """Note the lanes over `belt`; the round of the merges there."""
        steps = self.supplies.steps.get(belt, [])
        kind = {step.kind for step in steps}
        if belt in self.circle and kind == {"diverts"}:
            self.back[belt] = self.back.get(belt, Fraction(0)) + weight
            return 1
        if belt not in self.circle and len(self._kinds(belt)) == 1:
            self.leaf[belt] = self.leaf.get(belt, Fraction(0)) + weight
            return 1
        need(belt not in self.seen, f"{belt} is gone through twice")
        self.seen.add(belt)
        need(len(kind) == 1 and "side_merges" not in kind, f"{belt} is not filled by turns")
        joint = steps[0].joint
        if kind == {"diverts"}:
            others = set(joint["outlets"]) - {belt}
            need(others | {joint["inlet"]} <= self.circle, f"{joint['name']} serves others")
            return self._climb(joint["inlet"], weight)
        inlets = joint["inlets"]
        need(len(inlets) == 1 or joint["rule"] == "alternate", f"{joint['name']} gives no turns")
        return len(inlets) * lcm(*(self._climb(one, weight / len(inlets)) for one in inlets))

    def _closed_circle(self) -> None:
        """What is fed back stays with the mixer, but for the last way of one divert, and the
        others of it are filled first."""
        layout, circle = self.supplies.layout, self.circle
        for kind, key in (("drains", "belt"), ("sources", "belt"), ("side_merges", "main"),
                          ("side_merges", "inlet")):  # fmt: skip
            need(all(d[key] not in circle for d in layout[kind]), f"{kind} touch what is fed back")
        need(all(not set(g["inlets"]) & circle for g in layout["gates"]), "a gate in the way back")
        out = 0
        for divert in (d for d in layout["diverts"] if d["inlet"] in circle):
            away = [one for one in divert["outlets"] if one not in circle]
            need(divert["rule"] != "material", f"{divert['name']} may wait")
            if away:
                first = divert["rule"] == "overflow" and away == divert["outlets"][-1:]
                need(first, f"{divert['name']} does not fill what is fed back first")
                out += 1
        need(out == (1 if circle else 0), "what is fed back has not one way out")
        for merge in layout["merges"]:
            if merge["outlet"] in circle:
                need(merge["outlet"] in self.seen, f"{merge['name']} lets more in")

    def _share_out(self) -> None:
        """Shares and lanes of each material."""
        self.share: dict[str, Fraction] = {}
        self.count: dict[str, int] = {}
        lanes: dict[str, list[str]] = {}
        for belt, weight in self.leaf.items():
            (material,) = self._kinds(belt)
            lanes.setdefault(material, []).append(belt)
            self.share[material] = self.share.get(material, Fraction(0)) + weight
            self.count[material] = self.count.get(material, 0) + 1
        self.share = {m: share / (1 - self.returned) for m, share in self.share.items()}
        self.lanes = {m: self._surest(belts) for m, belts in lanes.items()}
        self.groups = lanes

    def _surest(self, belts: list[str]) -> Inlet:
        """The first lane by name that is sure."""
        fault = Refusal("no lane")
        for belt in sorted(belts, key=natural):
            try:
                return self.supplies.inlet(belt, self.speed)
            except Refusal as refusal:
                fault = refusal
        raise fault

    @property
    def line(self) -> tuple[str, str]:
        """What a round holds."""
        fresh = self.round * (1 - self.returned)
        told = ", ".join(f"{m} {self.share[m] * fresh}" for m in self.order)
        if self.circle:
            length = sum(self.cells[one] for one in self.circle)
            told += f", {self.round * self.returned} fed back over {length} cells"
        return "mix", f"{self.belt} comes by turns: of {self.round} carriers {told}"

    @property
    def order(self) -> list[str]:
        """Its materials in the natural order of their names."""
        return sorted(self.share, key=natural)

    def within(self, material: str, places: int) -> int:
        """Patterns of so many places within which `material` comes."""
        if not self.circle:
            return ceil(Fraction(self.round, places))
        lanes = sum(self.count.values())
        off = max(
            (1 - self.share[m]) * n + self.share[m] * (lanes - n) for m, n in self.count.items()
        )
        off += sum(self.cells[one] for one in self.circle)
        carriers = floor(off / self.share[material]) + 1
        surplus = self.share[material] * (1 - self.returned) - self.returned
        if surplus > 0:
            extra = self.count[material] + self._beyond()
            carriers = min(carriers, ceil(extra / surplus))
        return ceil(Fraction(carriers, places))

    def _lacks(self, belt: str) -> int:
        """Carriers that a lane which is fed back may lack."""
        return 1 + floor(self.back[belt] * (self._way_back(belt) + len(self.back)))

    def _beyond(self) -> Fraction:
        """What may go back of a stretch beyond its share."""
        out = [d["inlet"] for d in self.supplies.layout["diverts"]
               if d["inlet"] in self.circle and not set(d["outlets"]) <= self.circle]  # fmt: skip
        length, one = 0, out[0]
        while True:
            length += self.cells[one]
            inlets = self.supplies.steps[one][0].joint["inlets"]
            if len(inlets) > 1:
                break
            one = inlets[0]
        lacking = sum(self._lacks(belt) for belt in self.back)
        return lacking + len(self.back) + self.returned * length

    def need_full(self) -> None:
        """Hold that every lane is full again once its dock supplies.

        Raises
        ------
        Refusal
            One need not be.
        """
        for belts in self.groups.values():
            above = set().union(*(self._over(belt) for belt in belts))
            docks = [self.docks[one] for one in above if one in self.docks]
            need(len(docks) == 1, f"several docks behind {belts[0]}")
            rate = docks[0]["rate"]
            need(rate is None or Fraction(rate) >= self.speed, f"{docks[0]['name']} is too slow")
            for one in above:
                steps = self.supplies.steps.get(one, [])
                need(len(steps) < 2, f"more than one belt fills {one}")
            for divert in self.supplies.layout["diverts"]:
                if divert["inlet"] in above:
                    need(set(divert["outlets"]) <= above, f"{divert['name']} serves others")
        alike = all(self.supplies.speed[one] == self.speed for one in self.over)
        need(alike, f"belts behind {self.belt} differ in speed from the loop")
        for one, weight in self.back.items():
            lacks = self._lacks(one)
            need(lacks < self.cells[one], f"{one} is too short")
            need(lacks * weight <= 1, f"{one} has its turns too often")

    def _way_back(self, belt: str) -> int:
        """Belts from the root's outlet to `belt`, both counted."""
        count, one = 1, belt
        while True:
            joint = self.supplies.steps[one][0].joint
            count += 1
            if self.supplies.steps[one][0].kind == "diverts":
                if not set(joint["outlets"]) <= self.circle:
                    return count
                one = joint["inlet"]
            else:
                one = joint["inlets"][0]


def mixes(supplies: Supplies, belt: str) -> bool:
    """Whether several materials come by `belt`."""
    found, waiting = {belt}, [belt]
    kinds: set[str] = set()
    while waiting:
        one = waiting.pop()
        dock: Document | None = supplies.docks.get(one)
        if dock is not None:
            kinds.add(dock["material"])
        more = {step.above for step in supplies.steps.get(one, [])} - found
        found |= more
        waiting += more
    return len(kinds) > 1
