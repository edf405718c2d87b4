"""The checker's own tracing of what comes by an inlet, straight from the layout document."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from loopwright.prove.refusal import Document, need


@dataclass(frozen=True, slots=True)
class Way:
    """A way from a dock down to an inlet. `rivals` stations may take of it before, `uses`
    [carriers/s] in all, and the dock brings `brings` [carriers/s]."""

    dock: str
    brings: Fraction
    rivals: int
    uses: Fraction


@dataclass(frozen=True, slots=True)
class Inlet:
    """`way` is None where one dock feeds `belt` and nothing else."""

    belt: str
    material: str
    load: int
    prompt: bool
    way: Way | None


@dataclass(frozen=True, slots=True)
class _Step:
    """Up through `joint` of `kind` from the belt `below` to the belt `above`."""

    kind: str
    joint: Document
    below: str
    above: str


class Supplies:
    """All ways of supply in a document."""

    def __init__(self, layout: Document) -> None:
        """Sort what feeds what."""
        self.layout = layout
        self.speed = {belt["name"]: Fraction(belt["speed"]) for belt in layout["belts"]}
        self.docks = {source["belt"]: source for source in layout["sources"]}
        self.gated = {gate["outlet"] for gate in layout["gates"]}
        self.steps: dict[str, list[_Step]] = {}
        self.ahead: dict[str, list[str]] = {}
        for kind in ("merges", "side_merges", "diverts", "gates"):
            for joint in layout[kind]:
                for above, below in _ends(kind, joint):
                    self.ahead.setdefault(above, []).append(below)
                    if kind != "gates":
                        step = _Step(kind, joint, below, above)
                        self.steps.setdefault(below, []).append(step)

    def inlet(self, belt: str, speed: Fraction) -> Inlet:
        """What comes by `belt` to a loop of `speed` [cells/s].

        Raises
        ------
        Refusal
            It is not certain that one material, and no other, comes again and again.
        """
        ways = list(self._ways(belt, ()))
        above = {belt} | {step.above for way in ways for step in way}
        for one in above:
            need(one not in self.gated, f"{belt} comes through another gate")
        for picker in self.layout["pickers"]:
            ends = {picker["source"]["device"], picker["target"]["device"]}
            need(not ends & above, f"{picker['name']} stands at a supply of {belt}")
        docks = [self.docks[one] for one in above if one in self.docks]
        kinds = {(dock["material"], dock["load"]) for dock in docks}
        need(len(kinds) == 1, f"{belt} brings more than one kind of carrier")
        material, load = kinds.pop()
        sure = [
            found
            for way in ways
            if (found := self._sure(belt, way, material)) is not None and found.brings > found.uses
        ]
        need(bool(sure), f"{belt} need not get anything")
        prompt = any(self._prompt(belt, way, speed) for way in ways)
        others = {
            outlet
            for divert in self.layout["diverts"]
            if divert["inlet"] in above
            for outlet in divert["outlets"]
        } - above
        best = min(sure, key=lambda way: (way.uses, natural(way.dock)))
        return Inlet(belt, material, load, prompt, best if others or len(docks) > 1 else None)

    def _ways(self, belt: str, below: tuple[_Step, ...]) -> Iterator[tuple[_Step, ...]]:
        """Every way up from `belt` to a dock."""
        steps = self.steps.get(belt, [])
        need(belt in self.docks or bool(steps) or belt in self.gated, f"nothing feeds {belt}")
        if belt in self.docks:
            yield below
        for step in steps:
            need(step.above not in {s.below for s in below} | {belt}, "supplies go in a ring")
            yield from self._ways(step.above, (*below, step))

    def _sure(self, belt: str, way: tuple[_Step, ...], material: str) -> Way | None:
        """`way` with those who may take of it before; None if it may be held up.

        As long as nothing comes to `belt`, all belts up to the first divert that serves others
        before (overflow) stay empty, and those above it are never held up.
        """
        rivals: list[str] = []
        late = False
        for step in way:
            if late and self.speed[step.below] < self.speed[step.above]:
                return None
            if step.kind != "diverts":
                if late and (step.kind == "side_merges" or len(step.joint["inlets"]) > 1):
                    return None
                continue
            outlets, rule = step.joint["outlets"], step.joint["rule"]
            place = outlets.index(step.below)
            if rule == "material":
                if dict(step.joint["filters"]).get(material, outlets[-1]) != step.below:
                    return None
            elif rule == "overflow":
                rivals += outlets[:place]
                late = late or place > 0
            elif late:
                rivals += outlets[:place] + outlets[place + 1 :]
        dock = self.docks[way[-1].above if way else belt]
        brings = self.speed[dock["belt"]]
        if dock["rate"] is not None:
            brings = min(brings, Fraction(dock["rate"]))
        stations = self._served(rivals)
        if stations is None:
            return None
        recipes = {recipe["name"]: recipe for recipe in self.layout["recipes"]}
        uses = Fraction(0)
        for station in stations:
            recipe = recipes[station["recipe"]]
            units = dict(recipe["inputs"]).get(material, 0)
            quickest = max([Fraction(1), *(Fraction(g["speed"]) for g in recipe.get("grades", ()))])
            uses += Fraction(units) * quickest / Fraction(recipe["cycle"]) / dock["load"]
        return Way(dock["name"], brings, len(stations), uses)

    def _served(self, belts: list[str]) -> list[Document] | None:
        """The stations that `belts` lead to, or None if they lead elsewhere too."""
        reached = set(belts)
        waiting = list(belts)
        while waiting:
            more = set(self.ahead.get(waiting.pop(), ())) - reached
            reached |= more
            waiting += more
        takers = {
            picker["target"]["device"]
            for picker in self.layout["pickers"]
            if picker["source"]["device"] in reached
        }
        stations = [one for one in self.layout["stations"] if one["name"] in takers]
        drained = any(drain["belt"] in reached for drain in self.layout["drains"])
        return None if drained or len(stations) < len(takers) else stations

    def _prompt(self, belt: str, way: tuple[_Step, ...], speed: Fraction) -> bool:
        """Whether `way` lets a carrier through in every step of a loop of `speed`."""
        dock = self.docks[way[-1].above if way else belt]
        quick = dock["rate"] is None or Fraction(dock["rate"]) >= speed
        first = all(
            step.kind == "merges"
            or (
                step.kind == "diverts"
                and step.joint["rule"] == "overflow"
                and step.joint["outlets"][0] == step.below
            )
            for step in way
        )
        belts = [belt, *(step.above for step in way)]
        return quick and first and all(self.speed[one] == speed for one in belts)


def natural(name: str) -> tuple[Any, ...]:
    """Sort key: runs of digits in a name compare as numbers."""
    runs = [run for run in re.split(r"(\d+)", name) if run]
    return tuple((0, int(r), "") if r.isdecimal() else (1, 0, r) for r in runs), name


def _ends(kind: str, joint: Document) -> list[tuple[str, str]]:
    """Pairs of a belt that ends at `joint` and a belt that it feeds."""
    if kind == "side_merges":
        return [(joint["inlet"], joint["main"])]
    if kind == "diverts":
        return [(joint["inlet"], outlet) for outlet in joint["outlets"]]
    main = [joint["main"]] if kind == "gates" and joint["main"] else []
    return [(inlet, joint["outlet"]) for inlet in (*joint["inlets"], *main)]
