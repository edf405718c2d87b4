"""The loops of a layout: lanes with the belts that lead back to them."""

from __future__ import annotations

from dataclasses import dataclass

from loopwright.layout.layout import Layout
from loopwright.simulate.wiring import Wiring


@dataclass(frozen=True, slots=True)
class Loop:
    """Belts that feed each other in a ring, in the order of names, and their `cells` in all."""

    belts: tuple[str, ...]
    cells: int


def loops_of(layout: Layout) -> tuple[Loop, ...]:
    """The rings of belts in `layout`: sets of belts of which every one leads to all others.

    Belts reach each other through merges, side merges, diverts and gates, as carriers do.
    """
    wiring = Wiring(layout)
    ahead = {name: wiring.downstream(name) for name in wiring.belts}
    reach = {name: _reached(ahead, name) for name in ahead}
    found: dict[str, Loop] = {}
    done: set[str] = set()
    for name in ahead:
        if name in done or name not in reach[name]:
            continue
        ring = tuple(other for other in ahead if other in reach[name] and name in reach[other])
        done.update(ring)
        found[name] = Loop(ring, sum(len(wiring.belts[one].path) for one in ring))
    return tuple(found.values())


def _reached(ahead: dict[str, tuple[str, ...]], name: str) -> set[str]:
    """All belts that carriers from `name` can come to."""
    seen: set[str] = set()
    open_ends = list(ahead[name])
    while open_ends:
        at = open_ends.pop()
        if at not in seen:
            seen.add(at)
            open_ends.extend(ahead[at])
    return seen
