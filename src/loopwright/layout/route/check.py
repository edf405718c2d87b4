"""Findings about bridges: how far they carry, and how belts come up and down."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.finding import Finding, Place, new_finding
from loopwright.layout.layout import Layout
from loopwright.layout.route.bridge import bridges_of, ramps_straight


def check_bridges(layout: Layout) -> Iterator[Finding]:
    """Bridges longer than the layout's span, and ramps at turns."""
    for belt in layout.belts:
        for first, last in bridges_of(belt.path):
            at, cells = belt.path[first], last - first + 1
            if layout.bridge_span is not None and cells > layout.bridge_span:
                yield new_finding(
                    "LW421",
                    f"{belt.name} stays up over {cells} cells from {at.x},{at.y} on",
                    Place(device=belt.name),
                    value=f"{cells} cells",
                    allowed=f"{layout.bridge_span} cells by equipment.junctions.bridge.span",
                )
        if not ramps_straight(belt.path):
            yield new_finding(
                "LW423",
                f"{belt.name} turns where it rises or falls",
                Place(device=belt.name),
            )
