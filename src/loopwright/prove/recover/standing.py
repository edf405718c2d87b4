"""Loops that stand, and in which state: where recovery begins."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.layout.layout import Layout
from loopwright.prove.claim import CANNOT_JAM
from loopwright.prove.prove import prove_loops
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import simulate_layout
from loopwright.simulate.state import State


def jam_loops(layout: Layout) -> Iterator[tuple[Ring, State]]:
    """The loops that `prove_loops` brings to a jam, one of each shape, in their jams."""
    seen = set()
    for verdict in prove_loops(layout):
        shape = verdict.ring.shape()
        if verdict.question != CANNOT_JAM or verdict.jam is None or shape in seen:
            continue
        seen.add(shape)
        jam = verdict.jam
        yield verdict.ring, simulate_layout(layout, jam.scenario, start=jam.start).end


def standing_loops(layout: Layout, state: State) -> Iterator[tuple[Ring, State]]:
    """The loops that stand for good in `state`."""
    for ring in find_rings(layout):
        if is_stuck(layout, ring, state):
            yield ring, state
