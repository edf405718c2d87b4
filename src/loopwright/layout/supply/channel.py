"""The trunks of one column of rows: which lines each joins, and the track on which it runs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations

from loopwright.layout.route.channel import PITCH, Channel, Pin
from loopwright.layout.route.left_edge import assign_tracks
from loopwright.layout.supply.entry import Entry
from loopwright.layout.supply.line import Fan, fan_width, make_fans
from loopwright.layout.supply.share import share_docks

MOST_ORDERS = 5
"""Tracks whose every order is looked at; more keep the order of the left edge."""


@dataclass(frozen=True, slots=True)
class Trunk:
    """What brings `material` from dock `number` (counted from 1) to lines of entries.

    `taps` are the lines from north to south. `rate` is the dock's share of a belt; `track` is None
    where the trunk serves one line only and so goes straight across.
    """

    material: str
    number: int
    rate: Fraction
    taps: tuple[tuple[int, Fan], ...]
    track: int | None

    @property
    def first(self) -> int:
        """The row of cells where it comes in from its dock."""
        return self.taps[0][0]

    @property
    def last(self) -> int:
        """The row of cells of its last line."""
        return self.taps[-1][0]


@dataclass(frozen=True, slots=True)
class TrunkPlan:
    """All trunks and fans of a column of rows; `tracks` is the width of the channel in tracks."""

    trunks: tuple[Trunk, ...]
    fans: tuple[Fan, ...]
    tracks: int
    density: int

    @property
    def width(self) -> int:
        """Cells from the docks to the cell before the entries' belts, the latter not included."""
        entries = max(fan.entry.at.x - fan.join for fan in self.fans)
        return 1 + PITCH * self.tracks + fan_width(entries)


def plan_trunks(
    rows: Sequence[Sequence[Entry]],
    demands: dict[str, list[Fraction]],
    docks: dict[str, list[Fraction]],
) -> TrunkPlan:
    """Trunks for `rows` (entries of each, from north to south).

    `demands` and `docks` are shares of a belt: for each material what each row takes, and what
    each dock brings.
    """
    served = {m: share_docks(demands[m], docks[m]) for m in demands}
    fans = [
        fan
        for number, head in enumerate(rows)
        for fan in make_fans(head, [served[entry.material][number] for entry in head])
    ]
    taps: dict[tuple[str, int], list[tuple[int, Fan]]] = defaultdict(list)
    for fan in fans:
        for dock, y in fan.lines:
            taps[fan.entry.material, dock].append((y, fan))
    pins = tuple(
        Pin(f"{material} {dock}", y) for (material, dock), found in taps.items() for y, _ in found
    )
    tracks = assign_tracks(Channel(pins))
    trunks = [
        Trunk(
            material,
            dock + 1,
            docks[material][dock],
            tuple(sorted(found, key=lambda tap: tap[0])),
            tracks.track.get(f"{material} {dock}"),
        )
        for (material, dock), found in taps.items()
    ]
    return TrunkPlan(
        tuple(_fewest_crossings(trunks, tracks.count)), tuple(fans), tracks.count, tracks.density
    )


def _fewest_crossings(trunks: list[Trunk], tracks: int) -> list[Trunk]:
    """The same trunks with whole tracks exchanged so that fewest belts cross."""
    if tracks > MOST_ORDERS:
        return trunks
    orders = [_reordered(trunks, order) for order in permutations(range(tracks))]
    return min(orders, key=crossings)


def _reordered(trunks: Sequence[Trunk], order: Sequence[int]) -> list[Trunk]:
    return [
        Trunk(t.material, t.number, t.rate, t.taps, None if t.track is None else order[t.track])
        for t in trunks
    ]


def crossings(trunks: Sequence[Trunk]) -> int:
    """How often the lines and dock belts of `trunks` cross other trunks."""
    running = [trunk for trunk in trunks if trunk.track is not None]
    count = 0
    for trunk in trunks:
        for y, _ in trunk.taps:
            for other in running:
                if other is trunk or not other.first <= y <= other.last:
                    continue
                assert other.track is not None
                straight = trunk.track is None
                east = trunk.track is not None and other.track > trunk.track
                count += straight or east or y == trunk.first
    return count
