"""How long it takes to place a block with power, by stations and by the form of the cover."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from loopwright.block import size_block
from loopwright.layout import check_layout, place_layout
from loopwright.layout.power.network import cable_hundredths, power_network
from loopwright.model import Project
from loopwright.plan import solve_plan
from tests.layout.design import example

SCALES = (1, 10)
"""Times the check block of 640 stations."""

COVERS = (("square", 7), ("square", 15), ("round", 7), ("round", 9), ("round", 14))
"""Covers to try; those that no search settles come last, and on the small site only."""


def _project(scale: int, architecture: str) -> Project:
    project = example(
        "check-block.yaml", rate=Fraction(150 * scale), architecture=architecture, power_node="pole"
    )
    site = project.site.model_copy(update={"height": min(4000, 120 * scale)})
    return project.model_copy(update={"site": site})


def _row(scale: int, architecture: str) -> Iterator[str]:
    project = _project(scale, architecture)
    block = size_block(solve_plan(project), project)
    start = time.perf_counter()
    layout = place_layout(block, project)
    placing = time.perf_counter() - start
    findings = check_layout(layout)
    yield (
        f"{len(layout.stations):5d} stations, {architecture}: placed with power in "
        f"{placing:.2f} s, {len(layout.power_nodes)} nodes, "
        f"{cable_hundredths(layout) / 100:.0f} cells of links, {len(findings)} findings"
    )
    kind = layout.power_kinds[0]
    for shape, cover in COVERS[: 3 if scale > 1 else None]:
        other = replace(kind, shape=shape, cover=cover, span=cover + 2)
        start = time.perf_counter()
        found = power_network(layout, other, project.site.margin)
        took = time.perf_counter() - start
        yield (
            f"{len(layout.stations):5d} stations, {architecture}, {shape} {cover:2d}: "
            f"{found.cover} nodes, at least {found.bound}, {found.relays} relays, {took:.2f} s"
        )


def run() -> Iterator[str]:
    """The check block and ten times as many rows, warm."""
    power = _project(1, "loop")
    place_layout(size_block(solve_plan(power), power), power)
    for scale in SCALES:
        for architecture in ("loop", "pass"):
            yield from _row(scale, architecture)
