"""Layouts that show many devices at work together."""

from __future__ import annotations

from fractions import Fraction

from loopwright.layout.layout import Layout
from tests.layouts.build import Build


def one_of_each() -> Layout:
    """A gated loop of three materials past four stations; every kind of device and rule of joint.

    Names are such that the order of text and the natural order differ (`st 2`, `st 10`).
    """
    build = Build("ABCP")

    # supplies: A through an alternating merge, B by priority, C alone
    for name, material, rate in (
        ("a 1", "A", Fraction(1, 2)),
        ("a 2", "A", Fraction(1, 3)),
        ("b 1", "B", None),
        ("b 2", "B", Fraction(1, 4)),
        ("c", "C", Fraction(2, 3)),
    ):
        build.belt(name, 3, role="supply")
        build.source(name, material, rate, load=2 if material == "B" else 4)
    build.belt("fresh A", 2, role="supply")
    build.belt("fresh B", 2, role="supply")
    build.merge(["a 1", "a 2"], "fresh A")
    build.merge(["b 2", "b 1"], "fresh B", "priority")

    # the loop: lane 1 past the stations, lane 2 back, a divert that lets some out
    build.belt("lane 1", 12)
    build.belt("lane 2", 5, role="return")
    build.belt("lane 10", 5, role="return")
    build.belt("waste", 4, Fraction(1, 6), role="collector")
    build.gate(
        ["fresh A", "fresh B", "c"],
        "lane 1",
        "counted",
        "lane 10",
        quotas={"A": 7, "B": 5, "C": 4},
        loop=("lane 1", "lane 2", "lane 10"),
    )
    build.merge(["lane 1"], "lane 2")
    build.divert("lane 2", ["waste", "lane 10"], "overflow")
    build.drain("waste")

    # stations with hands of 1 to 3 and a yield; beside a grabbing hand one on commit, for two
    # that hold the same material would starve the station for ever
    build.belt("collector", 10, Fraction(3, 2), role="collector")
    build.drain("collector")
    for number, habit in ((1, "commit"), (2, "grab"), (10, "commit"), (11, "grab")):
        station = build.station(
            f"st {number}",
            Fraction(13, 2),
            {"A": 2, "B": 1, "C": 1},
            {"P": 2},
            {"A": 5, "B": 3, "C": 2},
            outlet_cap=5,
            batch_yield=Fraction(5, 4),
        )
        place = {1: 2, 2: 5, 10: 8, 11: 10}[number]
        hand = 1 + number % 3
        build.picker(f"p {number}", ("lane 1", place), station, Fraction(1, 2), hand)
        build.picker(f"q {number}", ("lane 1", place - 1), station, 1, 1, habit)

    # outputs: by a belt of its own and a side merge, straight on the collector, by a store
    build.belt("out 1", 3, role="output")
    build.side_merge("out 1", "collector", 6)
    build.store("box", 6)
    build.picker("r 1", "st 1", ("out 1", 0), 1)
    build.picker("r 2", "st 2", ("collector", 0), 1, 2)
    build.picker("r 10", "st 10", ("collector", 4), Fraction(3, 2), 3)
    build.picker("r 11", "st 11", "box", 1, 2, "grab")
    build.picker("s", "box", ("out 1", 1), 2)

    # two more gates and diverts, on lines of their own
    for rule, more in (
        ("windowed", {"quotas": {"A": 2, "B": 1}, "window": 5}),
        ("ratio-locked", {"pattern": ("in ratio-locked A", "in ratio-locked B")}),
        ("scarcest-first", {"shares": {"A": 3, "B": 2}, "loop": ("line scarcest-first",)}),
        ("open", {}),
    ):
        inlets = []
        for material, rate in (("A", Fraction(3, 4)), ("B", None)):
            inlets.append(build.belt(f"in {rule} {material}", 2, role="supply"))
            build.source(inlets[-1], material, rate)
        build.belt(f"line {rule}", 3)
        build.gate(inlets, f"line {rule}", rule, **more)
        ends = [build.belt(f"end {rule} {number}", 2, Fraction(1, 2)) for number in (1, 2)]
        for end in ends:
            build.drain(end)
        by_material = rule in ("open", "windowed")
        filters = {"A": ends[1], "B": ends[0]} if by_material else None
        build.divert(f"line {rule}", ends, "material" if by_material else "alternate", filters)
    return build.layout("one of each")


def sprayed() -> Layout:
    """A loop of two materials, one of them marked, past a station that gains by marks; the agent
    comes by a belt of its own. Marked leftovers come back round."""
    build = Build("ABWP")
    for material, rate in (("A", Fraction(1, 2)), ("B", Fraction(1, 3))):
        build.belt(f"supply {material}", 3, role="supply")
        build.source(f"supply {material}", material, rate, load=4)
    build.belt("lane", 10)
    build.belt("back", 5, role="return")
    build.merge(["lane"], "back")
    build.gate(
        ["supply A", "supply B"],
        "lane",
        "counted",
        "back",
        quotas={"A": 6, "B": 4},
        loop=("lane", "back"),
    )
    build.belt("agent", 4, Fraction(1, 2), role="supply")
    build.source("agent", "W", Fraction(1, 40), load=2)
    build.applicator("spray", ("lane", 1), "W", 3, dose=Fraction(1, 6), rate=3)
    build.picker("feed", ("agent", 3), "spray", 2, 2)
    build.belt("out", 6, role="output")
    build.drain("out")
    grades = [("5/4", "2")]
    build.station("m", 12, {"A": 3, "B": 1}, {"P": 2}, {"A": 6, "B": 2}, 8, grades=grades)
    build.picker("in", ("lane", 5), "m", 1, 2)
    build.picker("in 2", ("lane", 6), "m")
    build.picker("take", "m", ("out", 1), 1, 2)
    return build.layout("sprayed")
