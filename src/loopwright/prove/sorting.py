"""Loops whose leftovers come back sorted, found among belts that feed each other in many rings."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.layout.layout import Divert, Gate, Merge
from loopwright.prove.ring import Siding, Sorting
from loopwright.simulate.wiring import Wiring


def sorting_of(wiring: Wiring, together: Sequence[str]) -> Sorting | None:
    """The sorted loop that all belts of `together` make, or None if they make none.

    A gate or merge whose inlets, the feeds, are all of the loop, fills the lane; diverts by
    material along it send each material to a siding of its own; and each siding ends at the merge
    before the feed of its material, together with one belt from outside.
    """
    joints = [joint for belt in together if (joint := _mix(wiring, belt, together)) is not None]
    if len(joints) != 1:
        return None
    joint = joints[0]
    ends: dict[str, Merge] = {}
    for feed in joint.inlets:
        merge = wiring.tail.get(feed)
        if not isinstance(merge, Merge) or len(merge.inlets) != 2:
            return None
        inside = [one for one in merge.inlets if one in together]
        if len(inside) != 1 or inside[0] in ends:
            return None
        ends[inside[0]] = merge
    row = _row(wiring, joint.outlet, ends)
    if row is None or {*row, *ends, *joint.inlets} != set(together):
        return None
    sidings = tuple(_siding(wiring, row, belt, merge) for belt, merge in ends.items())
    last = next(n for n, belt in enumerate(row) if isinstance(wiring.head[belt], Divert))
    rule = joint.rule
    return Sorting(joint.name, isinstance(joint, Gate), rule, row, row[: last + 1], sidings)


def _mix(wiring: Wiring, belt: str, together: Sequence[str]) -> Gate | Merge | None:
    """What fills `belt`, if it mixes several feeds of the loop."""
    joint = wiring.tail.get(belt)
    if not isinstance(joint, Gate | Merge) or (isinstance(joint, Gate) and joint.main is not None):
        return None
    return joint if len(joint.inlets) > 1 and set(joint.inlets) <= set(together) else None


def _row(wiring: Wiring, first: str, ends: dict[str, Merge]) -> tuple[str, ...] | None:
    """The belts from the gate to the last divert, in order."""
    row = [first]
    sorted_out: list[str] = []
    while True:
        joint = wiring.head.get(row[-1])
        if isinstance(joint, Merge) and joint.inlets == (row[-1],):
            row.append(joint.outlet)
        elif isinstance(joint, Divert) and joint.rule == "material":
            sorted_out += [outlet for outlet in joint.outlets if outlet in ends]
            others = [outlet for outlet in joint.outlets if outlet not in ends]
            if not others:
                return tuple(row) if sorted(sorted_out) == sorted(ends) else None
            if len(others) > 1:
                return None
            row.append(others[0])
        else:
            return None
        if len(set(row)) < len(row):
            return None


def _siding(wiring: Wiring, row: Sequence[str], belt: str, merge: Merge) -> Siding:
    """The siding `belt`, with the cells of the row before it and all that may come to it."""
    comes: set[str] = set(wiring.materials)
    cells = 0
    for one in row:
        cells += len(wiring.belts[one].path)
        divert = wiring.head[one]
        if not isinstance(divert, Divert):
            continue
        following = row[row.index(one) + 1] if one != row[-1] else None
        ways = dict(divert.filters)
        goes = {material: ways.get(material, divert.outlets[-1]) for material in comes}
        if belt in divert.outlets:
            comes = {material for material in comes if goes[material] == belt}
            break
        comes = {material for material in comes if goes[material] == following}
    first = merge.rule == "priority" and merge.inlets[0] == belt
    supply = next(inlet for inlet in merge.inlets if inlet != belt)
    lengths = len(wiring.belts[belt].path), len(wiring.belts[merge.outlet].path)
    return Siding(belt, lengths[0], merge.outlet, cells, supply, frozenset(comes), first)
