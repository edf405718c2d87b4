"""A loop whose leftovers come back sorted: a siding for each material.

At the end of the lane a chain of diverts sorts what is left. Each material rides back on a siding
of its own, which ends at the head beside the supply belt of that material and goes before it; a
belt, the feed, leads from there to the gate. Sidings lie side by side beyond the lane, the first
input's next to it. Their ends come down to the feeds west of the gate, and supply belts cross
those of later inputs by bridges.
"""

from __future__ import annotations

from dataclasses import dataclass

from loopwright.block.sequence import level_sequence
from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.layout.dock import SUPPLY_CELLS, draw_dock
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Divert, Gate, Merge
from loopwright.layout.parts import Parts
from loopwright.layout.route.bridge import lift_path
from loopwright.layout.route.channel import PITCH
from loopwright.layout.row import RowPlace, lane_depth, row_length
from loopwright.layout.siding import least_siding

SORTED = "sorted"
"""The gate of a loop whose leftovers come back sorted."""

FIRST_END = -4
"""The `u` at which the first siding ends, before the gate: with it a siding is long enough as it
lies if its material has at most half of the places (tested for all ratios up to 8)."""


@dataclass(frozen=True, slots=True)
class Track:
    """How the siding of input number `number`, from 0, lies: it leaves the lane's end in column
    `east`, comes back along the row of cells `v` and ends in column `west`; `folds` are the cells
    by which it goes to and fro once more each, on two rows of cells beyond."""

    number: int
    east: int
    west: int
    v: int
    folds: tuple[int, ...]

    @property
    def top(self) -> int:
        """The outermost row of cells that it takes."""
        return self.v + 2 * len(self.folds)


def sorted_cells(parts: Parts) -> int:
    """What stands upstream of the lane's first cell [cells]: docks, supply belts, feeds, gate."""
    return 1 + SUPPLY_CELLS - _west(len(parts.inputs) - 1)


def sorted_depth(parts: Parts, stations: int) -> int:
    """The outermost `v` that a row of so many `stations` uses."""
    return _tracks(parts, stations)[-1].top


def draw_sorted_lane(draft: Draft, row: RowPlace, parts: Parts) -> Belt:
    """The lane of a sorted loop, with all that leads back to it.

    Raises
    ------
    DesignError
        LW439: there are more inputs than rows of cells before the gate.
        LW421, LW422: a supply belt does not come over the ends of the sidings.
    """
    last = _last(parts, row.stations)
    depth = lane_depth(parts)
    lane = Belt(f"{row.name} lane", row.frame.line(0, last, depth), parts.lane_speed, "lane")
    draft.add(lane)
    tracks = _tracks(parts, row.stations)
    sidings = [_siding(row, parts, track) for track in tracks]
    _draw_diverts(draft, row, parts, lane, sidings)
    feeds = [_draw_feed(draft, row, parts, track, sidings) for track in tracks]
    pattern = level_sequence([share for _, share in parts.shares])
    height = len(feeds)
    draft.add(
        Gate(
            f"{row.name} gate",
            row.frame.box(-1, depth - height + 1, 1, height),
            tuple(feeds),
            lane.name,
            "ratio-locked",
            shares=parts.shares,
            pattern=tuple(feeds[index] for index in pattern),
            power=parts.gate_power,
        )
    )
    return lane


def _west(number: int) -> int:
    return FIRST_END - PITCH * number


def _last(parts: Parts, stations: int) -> int:
    """The `u` of the lane's last cell."""
    return row_length(stations, parts) - 1


def _tracks(parts: Parts, stations: int) -> list[Track]:
    """The sidings of a row, each as long as is asked for."""
    kinds = len(parts.inputs)
    if kinds > lane_depth(parts):
        raise DesignError((_no_room(parts),))
    pattern = level_sequence([share for _, share in parts.shares])
    last, depth = _last(parts, stations), lane_depth(parts)
    tracks: list[Track] = []
    for number in range(kinds):
        row = last + min(number, kinds - 2) + 1
        wanted = parts.siding or least_siding(pattern, number, row)
        v = (tracks[-1].top if tracks else depth) + 1
        plain = Track(number, last + number, _west(number), v, ())
        missing = wanted - len(_way(plain, depth, kinds))
        tracks.append(Track(number, plain.east, plain.west, v, _folds(plain, missing)))
    return tracks


def _no_room(parts: Parts) -> Finding:
    return new_finding(
        "LW439",
        f"{len(parts.inputs)} sidings do not come to the gate of a row with stations "
        f"{parts.height} cells deep",
        Place(path="choices.gate"),
        value=f"{len(parts.inputs)} inputs",
        allowed=f"{lane_depth(parts)} inputs",
    )


def _folds(track: Track, missing: int) -> tuple[int, ...]:
    """The fewest folds that make a siding longer by `missing` cells or more; each also takes a cell
    more up and one down."""
    if missing <= 0:
        return ()
    longest = track.east - track.west
    count = -(-missing // (2 * longest + 2))
    needed = max(count, -(-(missing - 2 * count) // 2))
    return tuple(needed // count + (1 if one < needed % count else 0) for one in range(count))


def _way(track: Track, depth: int, kinds: int) -> list[tuple[int, int]]:
    """The (u, v) of a siding's cells from the lane's end, in row `depth`, to the feed."""
    first = depth + (0 if track.number == kinds - 1 else 1)
    way = [(track.east, v) for v in range(first, track.top + 1)]
    way += [(u, track.top) for u in range(track.east - 1, track.west - 1, -1)]
    for number, cells in enumerate(track.folds):
        out = track.top - 1 - 2 * number
        columns = range(track.west, track.west + cells)
        way += [(u, out) for u in columns]
        way += [(u, out - 1) for u in reversed(columns)]
    end = depth - track.number + 1
    return [*way, *((track.west, v) for v in range(track.v - 1, end - 1, -1))]


def _siding(row: RowPlace, parts: Parts, track: Track) -> Belt:
    material = parts.inputs[track.number]
    way = _way(track, lane_depth(parts), len(parts.inputs))
    path = tuple(row.frame.cell(u, v) for u, v in way)
    return Belt(f"{row.name} siding {material}", path, parts.lane_speed, "return")


def _draw_diverts(
    draft: Draft, row: RowPlace, parts: Parts, lane: Belt, sidings: list[Belt]
) -> None:
    """A divert sorts out one material, the next one another; the last two part at the last."""
    inlet = lane
    u, depth = _last(parts, row.stations), lane_depth(parts)
    draft.add(*sidings)
    for number, material in enumerate(parts.inputs[:-1]):
        rest = sidings[-1]
        if number < len(sidings) - 2:
            at = row.frame.cell(u + number + 1, depth)
            rest = Belt(f"{row.name} rest {number + 1}", (at,), parts.lane_speed, "return")
            draft.add(rest)
        draft.add(
            Divert(
                f"{row.name} sort {material}",
                inlet.path[-1],
                inlet.name,
                (sidings[number].name, rest.name),
                "material",
                ((material, sidings[number].name),),
            )
        )
        inlet = rest


def _draw_feed(draft: Draft, row: RowPlace, parts: Parts, track: Track, sidings: list[Belt]) -> str:
    """The feed of an input: its siding goes before its supply belt. The feed's name."""
    material = parts.inputs[track.number]
    v = lane_depth(parts) - track.number
    feed = Belt(
        f"{row.name} feed {material}",
        row.frame.line(track.west, -2, v),
        parts.lane_speed,
        "supply",
    )
    begin = 1 - sorted_cells(parts)
    line = row.frame.line(begin, track.west - 1, v)
    crossed = {cell for siding in sidings[track.number + 1 :] for cell in siding.path}
    name = f"{row.name} supply {material}"
    path = lift_path(name, line, crossed, (), parts.bridge_span)
    supply = Belt(name, path, parts.lane_speed, "supply")
    draw_dock(draft, row, material, row.frame.cell(begin - 1, v), supply, parts)
    inlets = (sidings[track.number].name, supply.name)
    draft.add(
        feed, Merge(f"{row.name} end {material}", feed.path[0], inlets, feed.name, "priority")
    )
    return feed.name
