"""Rows on a loop for the laws: loads, lengths, caps and ratios as one likes, in one line each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from loopwright.layout.layout import Layout
from loopwright.prove.law.terms import Terms, terms_of
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State
from tests.layouts.build import Build

SUPPLY = 4


@dataclass(frozen=True)
class Row:
    """`stations` alike, `pitch` cells apart on a lane, with a return of `back` cells; carriers hold
    `stack` units, belts go a cell a second."""

    stations: int
    pitch: int = 3
    load: Fraction = Fraction(9, 10)
    rule: str = "open"
    needs: Mapping[str, int] | None = None
    caps: Mapping[str, int] | None = None
    back: int = 0
    stack: int = 1

    @property
    def recipe(self) -> Mapping[str, int]:
        return self.needs or {"A": 1, "B": 1, "C": 1}

    @property
    def cycle(self) -> Fraction:
        """Near the load, in half seconds."""
        exact = sum(self.recipe.values()) * self.stations / self.load / self.stack
        return Fraction(round(2 * exact), 2)

    def layout(self) -> Layout:
        lane = self.stations * self.pitch + 1
        build = Build([*self.recipe, "P"], stack=self.stack)
        build.belt("lane", lane)
        build.belt("return", self.back or lane, role="return")
        inlets = []
        for material in self.recipe:
            inlets.append(build.belt(f"supply {material}", SUPPLY, role="supply"))
            build.source(inlets[-1], material, load=self.stack)
        build.merge(["lane"], "return", "priority")
        pattern = [f"supply {name}" for name, count in self.recipe.items() for _ in range(count)]
        build.gate(
            inlets,
            "lane",
            self.rule,
            main="return",
            shares=self.recipe,
            pattern=pattern if self.rule == "ratio-locked" else (),
            loop=["lane", "return"],
        )
        build.belt("out", lane, role="output")
        build.drain("out")
        for number in range(self.stations):
            name, cell = f"station {number + 1}", number * self.pitch + 1
            build.station(name, self.cycle, self.recipe, {"P": 1}, self.caps)
            build.picker(f"in {number + 1}", ("lane", cell), name)
            build.picker(f"off {number + 1}", name, ("out", cell))
        layout = build.layout()
        recipe = replace(layout.recipes[0], name="make")
        stations = tuple(replace(one, recipe="make", row="row") for one in layout.stations)
        return replace(layout, recipes=(recipe,), stations=stations)


@dataclass
class Watched:
    """A row that is run piece by piece."""

    row: Row

    def __post_init__(self) -> None:
        self.layout = self.row.layout()
        self.ring: Ring = find_rings(self.layout)[0]
        terms = terms_of(self.ring)
        assert terms is not None
        self.terms: Terms = terms

    def run(
        self,
        span: Fraction,
        start: State | None = None,
        begin: str = "primed",
        gone: Outage | None = None,
    ) -> State:
        outages = () if gone is None else (gone,)
        scenario = Scenario("row", begin, span, Fraction(0), span, outages)
        return simulate_layout(self.layout, scenario, start=start).end

    def outage(self, span: Fraction, material: str = "A") -> Outage:
        """The dock of `material` stops for `span` [s], after six cycles."""
        return Outage(f"supply {material} source", 6 * self.row.cycle, span)

    def after(self, span: Fraction, material: str = "A") -> State:
        """Some cycles after an outage of `span` [s] in a run that has come to full rate."""
        return self.run(span + 16 * self.row.cycle, gone=self.outage(span, material))

    def share(self, state: State) -> Fraction:
        """Share of full rate over 40 cycles, 30 cycles later."""
        settled = self.run(30 * self.row.cycle, state)
        end = self.run(40 * self.row.cycle, settled)
        made = sum(
            end.counters.stations[name].ended - settled.counters.stations[name].ended
            for name in end.counters.stations
        )
        return Fraction(made, 40 * self.row.stations)
