"""Groups: lanes together with the make-up row that lives on what they leave over.

Each make-up row closes a group, and the lanes are shared out over the groups. Rows pair up round
output belts within a group, in order; an odd last row has an output belt of its own.
"""

from __future__ import annotations

from loopwright.block.block import RowDesign


def group_kinds(design: RowDesign) -> tuple[tuple[int, int], ...]:
    """Kinds of groups in order: lanes of each, and how many there are of the kind.

    All groups have as many lanes as far as they go round, a last one may have fewer, or none.
    """
    if design.make_up == 0:
        return ((design.lanes, 1),)
    share = -(-design.lanes // design.make_up)
    full, rest = divmod(design.lanes, share)
    kinds = ((share, full), (rest, 1 if rest else 0))
    empty = design.make_up - full - (1 if rest else 0)
    return tuple((lanes, count) for lanes, count in (*kinds, (0, empty)) if count)


def group_lanes(design: RowDesign) -> tuple[int, ...]:
    """Lanes of each group; one group where there is no make-up row."""
    return tuple(lanes for lanes, count in group_kinds(design) for _ in range(count))


def is_even(design: RowDesign) -> bool:
    """Whether all groups have as many lanes, so that each make-up row gets the same."""
    return design.make_up == 0 or design.lanes % design.make_up == 0


def output_belts(design: RowDesign, double: bool) -> int:
    """Output belts: one a row, or with `double` one for two rows of a group."""
    if not double:
        return design.rows
    own = 1 if design.make_up else 0
    return sum(count * -(-(lanes + own) // 2) for lanes, count in group_kinds(design))


def output_load(design: RowDesign, double: bool) -> int:
    """Stations on the fullest output belt."""
    longest = max(design.row, design.make_up_row)
    if not double:
        return longest
    loads = [longest]
    for lanes, _ in group_kinds(design):
        if lanes >= 2:
            loads.append(2 * design.row)
        if lanes % 2 and design.make_up:
            loads.append(design.row + design.make_up_row)
    return max(loads)
