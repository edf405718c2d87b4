"""Nodes by turns: a single one, the bitonic counting network, and thirds and fifths by feedback.

Counting network: J. Aspnes, M. Herlihy and N. Shavit, Counting networks, Journal of the ACM 41(5),
1994, 1020-1048 (from memory; depth and number of balancers recomputed here).
Feedback is rejection: D. Knuth and A. Yao 1976; J. Lumbroso 2013 (from memory).
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from random import Random

import pytest

from loopwright.layout.layout import Layout
from reference.mixer import Turns
from tests.engines import Engine
from tests.layouts.build import Build

Pair = tuple[int, int]


@pytest.mark.parametrize("ways", [2, 3, 5])
def test_a_node_by_turns_keeps_its_outlets_level(ways: int) -> None:
    node, counts = Turns(ways), [0] * ways
    for items in range(1, 50):
        way = node.order()[0]
        node.use(way)
        counts[way] += 1
        assert counts == [-((way - items) // ways) for way in range(ways)]


def merger(first: list[int], second: list[int]) -> tuple[list[Pair], list[int]]:
    """Balancers that make one step of two, and the order of their outlets."""
    if len(first) == 1:
        return [(first[0], second[0])], [first[0], second[0]]
    evens, even = merger(first[::2], second[1::2])
    odds, odd = merger(first[1::2], second[::2])
    last = list(zip(even, odd, strict=True))
    return [*evens, *odds, *last], [wire for pair in last for wire in pair]


def bitonic(wires: list[int]) -> tuple[list[Pair], list[int]]:
    """Balancers in the order of flow, and the order of the outlets."""
    if len(wires) == 1:
        return [], wires
    half = len(wires) // 2
    upper, first = bitonic(wires[:half])
    lower, second = bitonic(wires[half:])
    joined, outlets = merger(first, second)
    return [*upper, *lower, *joined], outlets


def depth(balancers: list[Pair]) -> int:
    reached: Counter[int] = Counter()
    for one, other in balancers:
        reached[one] = reached[other] = 1 + max(reached[one], reached[other])
    return max(reached.values())


@pytest.mark.parametrize(
    ("width", "layers", "count"), [(2, 1, 1), (4, 3, 6), (8, 6, 24), (16, 10, 80), (32, 15, 240)]
)
def test_size_of_the_bitonic_counting_network(width: int, layers: int, count: int) -> None:
    balancers, outlets = bitonic(list(range(width)))
    assert (depth(balancers), len(balancers)) == (layers, count)
    assert sorted(outlets) == list(range(width))


@pytest.mark.parametrize("width", [2, 4, 8, 16])
def test_the_bitonic_counting_network_counts(width: int) -> None:
    balancers, outlets = bitonic(list(range(width)))
    chance = Random(width)
    for _ in range(25):
        nodes = [Turns(2) for _ in balancers]
        left: Counter[int] = Counter()
        favourite = chance.randrange(width)
        for _ in range(chance.randrange(1, 80)):
            wire = favourite if chance.random() < 0.5 else chance.randrange(width)
            for node, pair in zip(nodes, balancers, strict=True):
                if wire in pair:
                    way = node.order()[0]
                    node.use(way)
                    wire = pair[way]
            left[wire] += 1
            steps = [left[outlet] for outlet in outlets]
            assert all(
                0 <= steps[i] - steps[j] <= 1 for i in range(width) for j in range(i + 1, width)
            )


def split_by_feedback(parts: int, levels: int, items: int) -> list[Counter[int]]:
    """Counts at the outlets after each item: two-way nodes of so many levels, of whose leaves the
    first `parts` are outlets and the others lead back to the root."""
    nodes: dict[tuple[int, int], Turns] = {}
    left: Counter[int] = Counter()
    course = []
    for _ in range(items):
        leaf = parts
        while leaf >= parts:
            leaf = 0
            for level in range(levels):
                node = nodes.setdefault((level, leaf), Turns(2))
                way = node.order()[0]
                node.use(way)
                leaf += way << level
        left[leaf] += 1
        course.append(Counter(left))
    return course


def test_a_third_by_feedback() -> None:
    course = split_by_feedback(3, 2, 3000)
    assert [course[-1][outlet] for outlet in range(3)] == [1000] * 3
    strays = [
        abs(left[outlet] - Fraction(place, 3))
        for place, left in enumerate(course, 1)
        for outlet in range(3)
    ]
    assert max(strays) == Fraction(2, 3)


def test_a_fifth_by_feedback() -> None:
    course = split_by_feedback(5, 3, 5000)
    assert [course[-1][outlet] for outlet in range(5)] == [1000] * 5


@pytest.mark.parametrize(("parts", "levels"), [(3, 2), (5, 3)])
def test_the_root_carries_more_than_comes_in(engine: Engine, parts: int, levels: int) -> None:
    # x = 1 + x (2^k - N) / 2^k: the root carries 2^k / N of what comes in, so N / 2^k of a belt
    # may come in, and of a full supply no more does.
    root = Fraction(2**levels, parts)
    for supply, taken in ((1 / root, 1 / root), (Fraction(1), 1 / root)):
        layout = feedback_layout(parts, levels, supply)
        begun = engine.run(layout, 300)
        ended = engine.run(layout, 1200, state=begun)
        for outlet in range(parts):
            name = f"leaf {outlet} drain"
            before, after = (
                state["counters"]["drains"][name]["carriers"].get("A", 0)
                for state in (begun, ended)
            )
            # A few carriers more or fewer are under way at the end than at the start.
            assert abs(after - before - 1200 * taken / parts) <= 6


def feedback_layout(parts: int, levels: int, supply: Fraction) -> Layout:
    build = Build()
    # The entry holds up what comes while several carriers in a row go back.
    entry, root = build.belt("entry", 12), build.belt("root", 3)
    build.source(entry, rate=supply)
    back = split(build, root, 0, 0, parts, levels)
    while len(back) > 2:
        joined = build.belt(f"joined {len(back)}", 3)
        build.merge(back[:2], joined)
        back = [joined, *back[2:]]
    build.merge([*back, entry], root, "priority")
    return build.layout()


def split(build: Build, inlet: str, leaf: int, level: int, parts: int, levels: int) -> list[str]:
    """Two-way nodes from `inlet` on; the belts of the leaves that lead back."""
    outlets, back = [], []
    for way in range(2):
        number = leaf + (way << level)
        last = level == levels - 1
        outlets.append(build.belt(f"leaf {number}" if last else f"{level} from {number}", 3))
        if last and number < parts:
            build.drain(outlets[-1])
        elif last:
            back.append(outlets[-1])
    build.divert(inlet, outlets)
    if level < levels - 1:
        for way, outlet in enumerate(outlets):
            back += split(build, outlet, leaf + (way << level), level + 1, parts, levels)
    return back
