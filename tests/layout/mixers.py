"""What has come out of placed mixers, counted from what their merges passed."""

from __future__ import annotations

from collections import Counter

from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Layout
from loopwright.simulate.state import State


def mixed_rows(layout: Layout) -> list[str]:
    """What the names of the mixers of `layout` begin with."""
    return [m.name.removesuffix(" merge 1") for m in layout.merges if m.name.endswith(" merge 1")]


def inner_belts(layout: Layout, row: str) -> set[str]:
    """Belts of the mixer of `row` behind its leaves, those on which it feeds back among them, but
    for the last, on which the product leaves."""
    merges = [m for m in layout.merges if m.name.startswith(f"{row} merge ")]
    found = {merge.outlet for merge in merges}
    for divert in layout.diverts:
        if divert.name.startswith((f"{row} feedback first", f"{row} split feedback")):
            found |= {divert.inlet, *(one for one in divert.outlets if "feedback" in one)}
    return {name for name in found if name.startswith((f"{row} mix", f"{row} feedback"))}


def ring_cells(layout: Layout, row: str) -> int:
    """Cells from the root through the feedback lanes back to the root: all inner ones at most."""
    inner = inner_belts(layout, row)
    fed_back = any("feedback" in name for name in inner)
    return sum(len(b.path) for b in layout.belts if b.name in inner) if fed_back else 0


def product_of(layout: Layout, state: State, row: str) -> Counter[str]:
    """Carriers of each material that have left the mixer of `row`: the fresh ones that its merges
    passed, but for those that lie between them and its outlet."""
    carried = carried_materials(layout)
    inner = inner_belts(layout, row)
    found: Counter[str] = Counter()
    for merge in layout.merges:
        if merge.name.startswith(f"{row} merge "):
            for inlet, count in zip(
                merge.inlets, state.counters.joints[merge.name].passed, strict=True
            ):
                if inlet not in inner:
                    (material,) = carried[inlet]
                    found[material] += count
    for belt in inner:
        found.subtract(cell[0] for cell in state.belts[belt] if cell is not None)
    return found
