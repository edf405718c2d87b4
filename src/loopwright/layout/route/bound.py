"""How few cells the belts of a layout could have, however they were laid between what stands.

Docks, gates and the cells at which pickers and applicators work stand still; merges, side merges
and diverts may stand anywhere. The theory page of layout has the proof.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loopwright.grid import Box, Cell
from loopwright.layout.layout import Belt, Layout
from loopwright.layout.route.bridge import bridges_of
from loopwright.layout.route.cut import least_cut

End = Box | str
"""What a piece of belt runs from or to: the box of what stands still, or the name of a joint."""

Door = tuple[End, int]
"""The end of a belt, and the steps to it from the belt's own last cell, or from it to the first."""


@dataclass(frozen=True, slots=True)
class BeltCount:
    """Belt cells, bridges and crossings of a layout; no way of laying its belts has fewer cells
    than `bound`."""

    cells: int
    bridges: int
    crossings: int
    bound: int


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch of belt from end to end, of at least `least` steps."""

    ends: tuple[End, End]
    least: int


def count_belts(layout: Layout) -> BeltCount:
    """Belt cells of `layout`, and how few there could be between the same ends."""
    floor = {cell for belt in layout.belts for cell in belt.path if not cell.level}
    upper = [cell for belt in layout.belts for cell in belt.path if cell.level]
    return BeltCount(
        cells=sum(len(belt.path) for belt in layout.belts),
        bridges=sum(len(bridges_of(belt.path)) for belt in layout.belts),
        crossings=sum(cell.at_level(0) in floor for cell in upper),
        bound=_bound(layout),
    )


def _bound(layout: Layout) -> int:
    tails, heads, stops = _tails(layout), _heads(layout), _stops(layout)
    pieces: list[_Piece] = []
    apart = 0
    for belt in layout.belts:
        doors = (tails.get(belt.name), heads.get(belt.name))
        pieces += _pieces(belt, doors, stops[belt.name])
        apart += 1 - sum(door[1] for door in doors if door is not None)
    return apart + sum(map(_least_steps, _groups(pieces)))


def _spot(cell: Cell) -> Box:
    return Box(cell.x, cell.y, 1, 1)


def _tails(layout: Layout) -> dict[str, Door]:
    """Where each belt comes from. A joint stands at the first cell of a merge's outlet, at the last
    of a divert's inlet, and at the cell of the main belt that a side merge names."""
    found: dict[str, Door] = {dock.belt: (_spot(dock.at), 1) for dock in layout.sources}
    found |= {gate.outlet: (gate.box, 1) for gate in layout.gates}
    found |= {merge.outlet: (merge.name, 0) for merge in layout.merges}
    return found | {out: (divert.name, 1) for divert in layout.diverts for out in divert.outlets}


def _heads(layout: Layout) -> dict[str, Door]:
    """Where each belt leads to."""
    found: dict[str, Door] = {dock.belt: (_spot(dock.at), 1) for dock in layout.drains}
    for gate in layout.gates:
        main = () if gate.main is None else (gate.main,)
        found |= dict.fromkeys((*gate.inlets, *main), (gate.box, 1))
    found |= {name: (merge.name, 1) for merge in layout.merges for name in merge.inlets}
    found |= {side.inlet: (side.name, 1) for side in layout.side_merges}
    return found | {divert.inlet: (divert.name, 0) for divert in layout.diverts}


def _stops(layout: Layout) -> Mapping[str, dict[int, End]]:
    """By belt and index of its cell: where pickers and applicators work, and side merges."""
    paths = {belt.name: belt.path for belt in layout.belts}
    found: dict[str, dict[int, End]] = defaultdict(dict)
    for side in layout.side_merges:
        found[side.main][side.index] = side.name
    ports = [port for picker in layout.pickers for port in (picker.source, picker.target)]
    places = [(port.device, port.index) for port in ports if port.index is not None]
    places += [(applicator.belt, applicator.index) for applicator in layout.applicators]
    for name, index in places:
        found[name][index] = _spot(paths[name][index])
    return found


def _pieces(
    belt: Belt, doors: tuple[Door | None, Door | None], stops: Mapping[int, End]
) -> Iterator[_Piece]:
    """The stretches of `belt` from end to end: each has at least the steps out of the belt at its
    doors, and one between two stops."""
    tail, head = doors
    ends = [(end, 0) for _, end in sorted(stops.items())]
    line = [*([tail] if tail else []), *ends, *([head] if head else [])]
    for number, ((one, before), (other, after)) in enumerate(pairwise(line)):
        inside = (number > 0 or tail is None) and (number + 2 < len(line) or head is None)
        yield _Piece((one, other), 1 if inside else before + after)


def _groups(pieces: Sequence[_Piece]) -> Iterator[list[_Piece]]:
    """Pieces that hang together by joints."""
    above: dict[str, str] = {}

    def root(name: str) -> str:
        while (up := above.get(name, name)) != name:
            above[name] = name = above.get(up, up)
        return name

    for piece in pieces:
        names = [end for end in piece.ends if isinstance(end, str)]
        for name in names:
            above[root(name)] = root(names[0])
    found: dict[str, list[_Piece]] = defaultdict(list)
    for piece in pieces:
        joint = next((end for end in piece.ends if isinstance(end, str)), None)
        if joint is None:
            yield [piece]
        else:
            found[root(joint)].append(piece)
    yield from found.values()


def _least_steps(group: Sequence[_Piece]) -> int:
    """Fewest steps of all pieces of a group: by their own least, or by how many of them cross each
    line between columns and between rows of cells."""
    edges = [piece.ends for piece in group]
    boxes = {end for ends in edges for end in ends if isinstance(end, Box)}
    across = {box: (box.x, box.x + box.width - 1) for box in boxes}
    down = {box: (box.y, box.y + box.height - 1) for box in boxes}
    crossed = _crossings(edges, across) + _crossings(edges, down)
    return max(crossed, sum(piece.least for piece in group))


def _crossings(edges: Sequence[tuple[End, End]], spans: Mapping[Box, tuple[int, int]]) -> int:
    """How often pieces cross lines between columns at least; `spans` are the first and the last
    column of each box. Between two of these places all lines are alike."""
    places = sorted({place for span in spans.values() for place in span})
    count = 0
    for at, after in pairwise(places):
        before = [box for box, (_, last) in spans.items() if last <= at]
        beyond = [box for box, (first, _) in spans.items() if first > at]
        count += (after - at) * least_cut(edges, before, beyond)
    return count
