"""Deadlock, from the literature named at each test; searched with the search of the proofs.

Numbers marked "from memory" were recalled, not looked up; the counts are computed here anyway.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, permutations, product

import pytest

from loopwright.prove.search import Exploration, Move, explore

Arcs = Mapping[str, tuple[str, ...]]
Net = dict[str, tuple[tuple[str, ...], tuple[str, ...]]]
"""Transitions: places taken from, places put to; arcs have weight 1."""
Marking = tuple[tuple[str, int], ...]


def _reach(net: Net, marking: dict[str, int]) -> Exploration[Marking]:
    def moves(state: Marking) -> Iterator[Move[Marking]]:
        tokens = dict(state)
        for name, (taken, put) in net.items():
            if all(tokens[place] for place in taken):
                after = dict(tokens)
                for place in taken:
                    after[place] -= 1
                for place in put:
                    after[place] += 1
                yield Move(name, tuple(after.items()), True)

    return explore(tuple(marking.items()), moves)


def _minimal_siphons(net: Net) -> set[frozenset[str]]:
    """Sets of places which, once empty, stay empty; those that hold no smaller one."""
    places = sorted({place for taken, put in net.values() for place in (*taken, *put)})
    found: list[frozenset[str]] = []
    for size in range(1, len(places) + 1):
        for chosen in combinations(places, size):
            some = frozenset(chosen)
            if any(smaller <= some for smaller in found):
                continue
            if all(some & set(taken) or not some & set(put) for taken, put in net.values()):
                found.append(some)
    return set(found)


ROBOT: Net = {
    "t1": (("p1", "p6"), ("p2",)),
    "t2": (("p2", "p5"), ("p3", "p6")),
    "t3": (("p3", "p6"), ("p4", "p5")),
    "t4": (("p4",), ("p1", "p6")),
}


@pytest.mark.parametrize(("pieces", "states", "jams"), [(1, 4, 0), (2, 5, 1), (3, 5, 1)])
def test_robot_machine_robot(pieces: int, states: int, jams: int) -> None:
    """Net and deadlock: Z. Li, lecture slides on deadlock prevention for flexible manufacturing
    systems, a Petri net approach, 2010. The robot loads and unloads the one machine."""
    start = {"p1": pieces, "p2": 0, "p3": 0, "p4": 0, "p5": 1, "p6": 1}
    found = _reach(ROBOT, start)
    assert (found.states, len(found.jams)) == (states, jams)
    for jam in found.jams:
        assert {place for place, count in jam if count} - {"p1"} == {"p2", "p3"}


def test_siphons_of_robot_machine_robot() -> None:
    """As above; the last one is the strict siphon that empties in the deadlock."""
    assert _minimal_siphons(ROBOT) == {
        frozenset({"p3", "p5"}),
        frozenset({"p2", "p4", "p6"}),
        frozenset({"p1", "p2", "p3", "p4"}),
        frozenset({"p4", "p5", "p6"}),
    }


CROSSED: Net = {
    "a1": (("pa0", "r1"), ("pa1",)),
    "a2": (("pa1", "r2"), ("pa2", "r1")),
    "a3": (("pa2",), ("pa0", "r2")),
    "b1": (("pb0", "r2"), ("pb1",)),
    "b2": (("pb1", "r1"), ("pb2", "r2")),
    "b3": (("pb2",), ("pb0", "r1")),
}
CROSSED_START = {"pa0": 3, "pa1": 0, "pa2": 0, "pb0": 3, "pb1": 0, "pb2": 0, "r1": 1, "r2": 1}


def test_two_processes_in_opposite_order_deadlock() -> None:
    """Ezpeleta, Colom & Martinez, IEEE Trans. Robotics and Automation 11 (1995) 173-184, smallest
    net of their class; from memory."""
    found = _reach(CROSSED, CROSSED_START)
    assert (found.states, len(found.jams)) == (8, 1)
    assert frozenset({"pa2", "pb2", "r1", "r2"}) in _minimal_siphons(CROSSED)


def test_a_monitor_place_keeps_the_siphon_marked() -> None:
    """Same source. A quota of a gate is such a monitor."""
    guarded = dict(CROSSED)
    for name in ("a1", "b1"):
        taken, put = guarded[name]
        guarded[name] = ((*taken, "monitor"), put)
    for name in ("a2", "b2"):
        taken, put = guarded[name]
        guarded[name] = (taken, (*put, "monitor"))
    found = _reach(guarded, {**CROSSED_START, "monitor": 1})
    assert (found.states, len(found.jams)) == (7, 0)


MOST = ((7, 5, 3), (3, 2, 2), (9, 0, 2), (2, 2, 2), (4, 3, 3))
HELD = ((0, 1, 0), (2, 0, 0), (3, 0, 2), (2, 1, 1), (0, 0, 2))
FREE = (3, 3, 2)


def _safe_orders(held: tuple[tuple[int, ...], ...], free: tuple[int, ...]) -> list[tuple[int, ...]]:
    def works(order: tuple[int, ...]) -> bool:
        left = list(free)
        for one in order:
            if any(m - h > f for m, h, f in zip(MOST[one], held[one], left, strict=True)):
                return False
            left = [f + h for f, h in zip(left, held[one], strict=True)]
        return True

    return [order for order in permutations(range(5)) if works(order)]


def _granted(
    held: tuple[tuple[int, ...], ...], free: tuple[int, ...], who: int, asks: tuple[int, ...]
) -> tuple[tuple[tuple[int, ...], ...], tuple[int, ...]]:
    more = tuple(h + a for h, a in zip(held[who], asks, strict=True))
    left = tuple(f - a for f, a in zip(free, asks, strict=True))
    return (*held[:who], more, *held[who + 1 :]), left


def test_the_banker() -> None:
    """Silberschatz, Galvin & Gagne, Operating System Concepts, section on the banker; data from
    memory, the state after the first grant seen in print."""
    assert len(_safe_orders(HELD, FREE)) == 16
    held, free = _granted(HELD, FREE, 1, (1, 0, 2))
    assert (1, 3, 4, 0, 2) in _safe_orders(held, free)
    held, free = _granted(held, free, 0, (0, 2, 0))
    assert _safe_orders(held, free) == []


def test_identical_resources() -> None:
    """n processes, each taking up to k of m units one by one: no deadlock iff n (k - 1) < m.

    Textbook result, from memory."""
    for count, most, units in product(range(1, 5), range(1, 5), range(1, 8)):
        if most > units:
            continue

        def moves(
            state: tuple[int, ...], most: int = most, units: int = units
        ) -> Iterator[Move[tuple[int, ...]]]:
            for index, held in enumerate(state):
                if held == most:
                    after = 0
                elif sum(state) < units:
                    after = held + 1
                else:
                    continue
                yield Move("", tuple(sorted((*state[:index], after, *state[index + 1 :]))), True)

        found = explore((0,) * count, moves)
        assert (not found.jams) == (count * (most - 1) < units), (count, most, units)


@pytest.mark.parametrize("cells", [2, 3, 5])
def test_a_ring_moves_while_a_cell_is_free(cells: int) -> None:
    """A marked graph lives iff every circuit holds a token: Commoner, Holt, Even & Pnueli, JCSS 5
    (1971) 511-523, from memory. A ring of cells is two circuits: its carriers and its gaps."""
    for carriers in range(cells + 1):

        def moves(state: tuple[bool, ...]) -> Iterator[Move[tuple[bool, ...]]]:
            for index, full in enumerate(state):
                ahead = (index + 1) % len(state)
                if full and not state[ahead]:
                    after = list(state)
                    after[index], after[ahead] = False, True
                    yield Move("", tuple(after), True)

        start = (True,) * carriers + (False,) * (cells - carriers)
        found = explore(start, moves)
        assert (not found.jams) == (1 <= carriers <= cells - 1)
