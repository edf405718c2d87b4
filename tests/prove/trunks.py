"""Loops whose supplies come by trunks: diverts, merges and side merges as chance has them."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from loopwright.layout.layout import Layout
from tests.layouts.build import Build


def add_loop(build: Build, name: str, inlets: Mapping[str, str], cycle: int = 5) -> None:
    """A loop of eight cells with two stations behind a scarcest-first gate; `inlets` has the belt
    by which each of its two materials comes."""
    lane = build.belt(f"{name} lane", 4)
    back = build.belt(f"{name} return", 4, role="return")
    build.merge([lane], back, "priority")
    build.gate(
        list(inlets.values()),
        lane,
        "scarcest-first",
        main=back,
        shares=dict.fromkeys(inlets, 1),
        quotas=dict.fromkeys(inlets, 3),
        loop=[lane, back],
    )
    out = build.belt(f"{name} out", 4, role="output")
    build.drain(out)
    for number in (1, 2):
        station = build.station(
            f"{name} station {number}", cycle, dict.fromkeys(inlets, 1), {"P": 1}
        )
        build.picker(f"{name} in {number}", (lane, number), station)
        build.picker(f"{name} off {number}", station, (out, number))


def any_trunks(chance: random.Random) -> Layout:
    """Two or three loops; A comes by a net of chance from one to three docks, B by docks of each
    loop's own."""
    loops = chance.randint(2, 3)
    build = Build("ABCP", stack=2)
    ends = []
    for number in range(chance.randint(1, 3)):
        belt = build.belt(
            f"dock belt {number}", chance.randint(1, 4), chance.choice((1, 1, 2)), "supply"
        )
        rate = chance.choice((None, Fraction(1, 10), Fraction(1, 2), Fraction(9, 10)))
        build.source(belt, "A" if chance.random() < 0.97 else "C", rate)
        ends.append(belt)
    made = 0
    while len(ends) != loops or chance.random() < 0.5:
        made += 1
        kind = chance.choice(("split", "split", "join", "side", "drain"))
        belt = ends.pop(chance.randrange(len(ends)))
        speed = chance.choice((1, 1, 1, 2))
        if kind == "split" and len(ends) < 3:
            names = [f"split {made} {n}" for n in (1, 2)]
            outlets = [build.belt(n, chance.randint(1, 3), speed, "supply") for n in names]
            rule = chance.choice(("overflow", "overflow", "alternate", "material"))
            build.divert(belt, outlets, rule, {"A": outlets[0]} if rule == "material" else None)
            ends += outlets
        elif kind == "join" and ends:
            outlet = build.belt(f"join {made}", chance.randint(1, 3), speed, "supply")
            inlets = [belt, ends.pop(chance.randrange(len(ends)))]
            build.merge(inlets, outlet, chance.choice(("alternate", "priority")))
            ends.append(outlet)
        elif kind == "side" and ends:
            build.side_merge(belt, chance.choice(ends), 0)
        elif kind == "drain" and len(ends) > 2 and made > 6:
            build.drain(belt)
        else:
            ends.append(belt)
    for number, belt in enumerate(ends):
        own = build.belt(f"loop {number} supply B", 2, role="supply")
        build.source(own, "B")
        add_loop(build, f"loop {number}", {"A": belt, "B": own}, chance.choice((2, 4, 20)))
    return _one_recipe(build.layout())


def row_of_loops(
    rate: Fraction | None, loops: int = 3, rule: str = "overflow", cycle: int = 5
) -> Layout:
    """`loops` loops along one trunk of A; at each, a divert serves the loop and then the rest."""
    build = Build("ABP", stack=1)
    trunk = build.belt("trunk 1", 2, role="supply")
    build.source(trunk, "A", rate, name="A dock")
    for number in range(1, loops + 1):
        inlet = trunk
        if number < loops:
            inlet = build.belt(f"branch {number}", 2, role="supply")
            after = build.belt(f"trunk {number + 1}", 2, role="supply")
            build.divert(trunk, [inlet, after], rule)
            trunk = after
        own = build.belt(f"loop {number} supply B", 2, role="supply")
        build.source(own, "B")
        add_loop(build, f"loop {number}", {"A": inlet, "B": own}, cycle)
    return _one_recipe(build.layout())


def _one_recipe(layout: Layout) -> Layout:
    """Stations of one loop run one recipe, so that they are alike."""
    first = {
        station.name.rsplit(" station", 1)[0]: station.recipe for station in layout.stations[::-1]
    }
    stations = tuple(
        replace(station, recipe=first[station.name.rsplit(" station", 1)[0]])
        for station in layout.stations
    )
    return replace(layout, stations=stations)
