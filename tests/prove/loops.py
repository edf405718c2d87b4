"""Small loops in one line, and the loops of the example block with other gates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from loopwright.layout.layout import Layout
from tests.layout.design import example, placed
from tests.layouts.build import Build


def small_loop(
    rule: str = "scarcest-first",
    *,
    lane: int = 4,
    back: int = 4,
    needs: Mapping[str, int] | None = None,
    caps: Mapping[str, int] | None = None,
    quotas: Mapping[str, int] | None = None,
    pattern: str = "",
    load: int = 1,
    window: int | None = None,
    at: Sequence[int] = (0, 1),
    cycle: int = 5,
    habit: str = "commit",
    takes: str = "units",
    hand: int = 1,
    back_speed: int = 1,
) -> Layout:
    """A lane, its return and a gate; stations with pickers at the cells `at` of the lane."""
    needs = needs or {"A": 1, "B": 1}
    build = Build([*needs, "P"], stack=load)
    build.belt("lane", lane)
    build.belt("return", back, back_speed, role="return")
    inlets = []
    for material in needs:
        inlets.append(build.belt(f"supply {material}", 2, role="supply"))
        build.source(inlets[-1], material, load=load)
    build.merge(["lane"], "return", "priority")
    build.gate(
        inlets,
        "lane",
        rule,
        main="return",
        shares=needs,
        quotas=quotas,
        pattern=[f"supply {material}" for material in pattern],
        window=lane + back if window is None else window,
        loop=["lane", "return"],
    )
    build.belt("out", lane, role="output")
    build.drain("out")
    for number, cell in enumerate(at, 1):
        station = build.station(f"station {number}", cycle, needs, {"P": 1}, caps)
        build.picker(f"in {number}", ("lane", cell), station, 1, hand, habit, takes)
        build.picker(f"off {number}", station, ("out", cell))
    return _one_recipe(build.layout())


def drained_loop(
    pattern: str = "AB-",
    *,
    lane: int = 6,
    back: int = 4,
    needs: Mapping[str, int] | None = None,
    caps: Mapping[str, int] | None = None,
    load: int = 1,
    at: Sequence[int] = (0, 2),
    cycle: int = 5,
    takes: str = "units",
    hand: int = 1,
    out_speed: int = 1,
    rule: str = "overflow",
) -> Layout:
    """A loop of which the leftovers have the places `-` of the pattern; others go to a drain."""
    needs = needs or {"A": 1, "B": 1}
    build = Build([*needs, "P", "X"], stack=load)
    build.belt("lane", lane)
    build.belt("return", back, role="return")
    build.belt("stub", 1, role="return")
    build.belt("waste", 3, out_speed, role="collector")
    build.merge(["lane"], "return", "priority")
    build.divert("return", ["stub", "waste"], rule, name="overflow")
    build.drain("waste")
    inlets = {material: build.belt(f"supply {material}", 2, role="supply") for material in needs}
    for material, inlet in inlets.items():
        build.source(inlet, material, load=load)
    build.gate(
        list(inlets.values()),
        "lane",
        "ratio-locked",
        main="stub",
        pattern=[inlets.get(one, "stub") for one in pattern],
        loop=["lane", "return", "stub"],
    )
    build.belt("out", lane, role="output")
    build.drain("out")
    for number, cell in enumerate(at, 1):
        station = build.station(f"station {number}", cycle, needs, {"P": 1}, caps)
        build.picker(f"in {number}", ("lane", cell), station, 1, hand, takes=takes)
        build.picker(f"off {number}", station, ("out", cell))
    return _one_recipe(build.layout())


def sorted_loop(
    pattern: str = "AB",
    *,
    lane: int = 6,
    siding: int | Mapping[str, int] = 9,
    feed: int = 1,
    needs: Mapping[str, int] | None = None,
    caps: Mapping[str, int] | None = None,
    load: int = 1,
    at: Sequence[int] = (0, 2),
    cycle: int = 5,
    habit: str = "commit",
    takes: str = "units",
    hand: int = 1,
    rule: str = "ratio-locked",
    join: str = "priority",
    fresh_first: bool = False,
    turn: int = 0,
) -> Layout:
    """A loop of which each material comes back on a siding; `turn` cells lie between the lane and
    the first divert."""
    needs = needs or {"A": 1, "B": 1}
    lengths = siding if isinstance(siding, Mapping) else dict.fromkeys(needs, siding)
    build = Build([*needs, "P", "X"], stack=load)
    build.belt("lane", lane)
    if turn:
        build.belt("turn", turn, role="return")
        build.merge(["lane"], "turn", "priority")
    feeds = {}
    for material in needs:
        build.belt(f"siding {material}", lengths[material], role="return")
        feeds[material] = build.belt(f"feed {material}", feed, role="supply")
        build.belt(f"supply {material}", 2, role="supply")
        build.source(f"supply {material}", material, load=load)
        ends = [f"siding {material}", f"supply {material}"]
        build.merge(ends[::-1] if fresh_first else ends, feeds[material], join)
    inlet, names = "turn" if turn else "lane", list(needs)
    for number, material in enumerate(names[:-1], 1):
        rest = f"siding {names[-1]}"
        if number < len(names) - 1:
            rest = build.belt(f"rest {number}", 1, role="return")
        outlets = [f"siding {material}", rest]
        build.divert(inlet, outlets, "material", {material: outlets[0]}, name=f"sort {material}")
        inlet = rest
    if rule == "alternate":
        build.merge(list(feeds.values()), "lane", rule)
    else:
        places = [feeds[material] for material in pattern] if rule == "ratio-locked" else ()
        build.gate(list(feeds.values()), "lane", rule, pattern=places)
    build.belt("out", lane, role="output")
    build.drain("out")
    for number, cell in enumerate(at, 1):
        station = build.station(f"station {number}", cycle, needs, {"P": 1}, caps)
        build.picker(f"in {number}", ("lane", cell), station, 1, hand, habit, takes)
        build.picker(f"off {number}", station, ("out", cell))
    return _one_recipe(build.layout())


def _one_recipe(layout: Layout) -> Layout:
    """`layout` with the first recipe at all stations, under the name make."""
    recipe = replace(layout.recipes[0], name="make")
    stations = tuple(replace(station, recipe="make") for station in layout.stations)
    return replace(layout, recipes=(recipe,), stations=stations)


def kits(*, rate: Fraction | None = None, **choices: Any) -> Layout:
    """The loops of the example block; 18 a minute are one row of 6 stations."""
    return placed(example("filter-kits.yaml", rate=rate, **choices))


def with_quotas(layout: Layout, rule: str, quotas: Mapping[str, int]) -> Layout:
    """`layout` with other quotas at every gate."""
    sizes = {belt.name: len(belt.path) for belt in layout.belts}
    gates = tuple(
        replace(
            gate,
            rule=rule,
            quotas=tuple(quotas.items()),
            window=sum(sizes[belt] for belt in gate.loop) if rule == "windowed" else 0,
        )
        for gate in layout.gates
    )
    return replace(layout, gates=gates)


def with_caps(layout: Layout, caps: Mapping[str, int]) -> Layout:
    """`layout` with other caps at every station."""
    stations = tuple(replace(station, caps=tuple(caps.items())) for station in layout.stations)
    return replace(layout, stations=stations)
