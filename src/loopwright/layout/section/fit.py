"""Where wings stand on the site: free of each other and of obstacles, close together and close to
what they are joined to."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from loopwright.grid import Box, Cell
from loopwright.layout.section.turn import Spot
from loopwright.layout.section.wing import Piece

EXTENT = 3
"""How much a cell of width or height of all that is placed counts against a cell of belt."""

MOST_TURNED = 24
"""Pieces that are tried the other way round."""


ORDERS: Mapping[str, Callable[[Piece], int]] = {
    "flow": lambda piece: 0,
    "largest first": lambda piece: -piece.width * piece.height,
    "highest first": lambda piece: -piece.height,
}
"""In which order wings are put down."""


@dataclass(frozen=True, slots=True)
class Room:
    """The part of the site in which wings may stand: `area`, less what is `taken`, with `gap`
    [cells] between wings for the belts that join them; `flows` says of each whether it may stand as
    it is or mirrored."""

    area: Box
    taken: tuple[Box, ...]
    gap: int
    flows: Sequence[tuple[bool, ...]]


Ends = Mapping[str, Cell]
"""Where each belt that joins wings begins or ends, by its name."""


def fit_pieces(
    pieces: Sequence[Piece], room: Room, docks: Ends, joins: Mapping[str, str]
) -> list[Spot]:
    """A spot for each of `pieces` in turn, as many as there is room for.

    Each goes where what is placed stays smallest and the belts to what is placed already are
    shortest; corners that touch the edge of the room or the gap beside another are looked at.
    `docks` are the ends of belts that come from given places; `joins` names the belt that a belt
    ends into.
    """
    spots: list[Spot] = []
    boxes: list[Box] = []
    ends: dict[str, list[Cell]] = {name: [cell] for name, cell in docks.items()}
    for piece, flows in zip(pieces, room.flows, strict=True):
        best: tuple[int, int, int, bool] | None = None
        chosen: Spot | None = None
        for spot in _spots(piece, room, boxes, flows):
            price = _extent(spot, piece, boxes) * EXTENT + _belts(spot, piece, ends, joins)
            rank = (price, spot.corner.y, spot.corner.x, spot.mirrored)
            if best is None or rank < best:
                best, chosen = rank, spot
        if chosen is None:
            break
        spots.append(chosen)
        boxes.append(_box(chosen, piece))
        for name, cell in _ends(chosen, piece, joins):
            ends.setdefault(name, []).append(cell)
    return spots


def fit_in_order(
    pieces: Sequence[Piece], room: Room, docks: Ends, joins: Mapping[str, str], order: str
) -> list[Spot]:
    """As `fit_pieces`, put down in an order of `ORDERS`; in another than that of flow none, where
    not all have room."""
    key = ORDERS[order]
    numbers = sorted(range(len(pieces)), key=lambda number: key(pieces[number]))
    flows = tuple(room.flows[number] for number in numbers)
    held = [pieces[number] for number in numbers]
    spots = fit_pieces(held, replace(room, flows=flows), docks, joins)
    if len(spots) < len(pieces):
        return spots if order == "flow" else []
    placed = dict(zip(numbers, spots, strict=True))
    return [placed[number] for number in range(len(pieces))]


def turn_pieces(
    pieces: Sequence[Piece],
    room: Room,
    docks: Ends,
    joins: Mapping[str, str],
    spots: Sequence[Spot],
) -> list[Spot]:
    """`spots`, where all `pieces` stand; or others at which the belts between them are shorter,
    with one piece after the other the other way round and those behind it where they then go."""
    best = list(spots)
    least = _between(best, pieces, docks, joins)
    flows = list(room.flows)
    for number in [n for n, ways in enumerate(room.flows) if len(ways) > 1][:MOST_TURNED]:
        kept = flows[number]
        flows[number] = (not best[number].mirrored,)
        tried = fit_pieces(pieces, replace(room, flows=tuple(flows)), docks, joins)
        length = _between(tried, pieces, docks, joins) if len(tried) == len(pieces) else least
        if length < least:
            best, least = tried, length
        else:
            flows[number] = kept
    return best


def _between(
    spots: Sequence[Spot], pieces: Sequence[Piece], docks: Ends, joins: Mapping[str, str]
) -> int:
    """Least length of the belts between all pieces."""
    ends: dict[str, list[Cell]] = {name: [cell] for name, cell in docks.items()}
    total = 0
    for spot, piece in zip(spots, pieces, strict=True):
        total += _belts(spot, piece, ends, joins)
        for name, cell in _ends(spot, piece, joins):
            ends.setdefault(name, []).append(cell)
    return total


def _box(spot: Spot, piece: Piece) -> Box:
    return Box(spot.corner.x, spot.corner.y, piece.width, piece.height)


def _spots(piece: Piece, room: Room, boxes: Sequence[Box], flows: Sequence[bool]) -> Iterator[Spot]:
    """Corners at which the piece stands free."""
    area, gap = room.area, room.gap
    others = [*boxes, *room.taken]
    columns = {area.x, *(box.x + box.width + gap for box in others)}
    columns |= {box.x - gap - piece.width for box in others}
    rows = {area.y, *(box.y + box.height + gap for box in others)}
    rows |= {box.y - gap - piece.height for box in others}
    wide = [
        Box(box.x - gap, box.y - gap, box.width + 2 * gap, box.height + 2 * gap) for box in others
    ]
    for x in sorted(columns):
        if x < area.x or x + piece.width > area.x + area.width:
            continue
        for y in sorted(rows):
            if y < area.y or y + piece.height > area.y + area.height:
                continue
            own = Box(x, y, piece.width, piece.height)
            if not any(own.overlaps(box) for box in wide):
                for mirrored in flows:
                    yield Spot(Cell(x, y), piece.width, mirrored)


def _extent(spot: Spot, piece: Piece, boxes: Sequence[Box]) -> int:
    """Half the way round all that is placed."""
    whole = _box(spot, piece)
    for box in boxes:
        whole = whole.union(box)
    return whole.width + whole.height


def _ends(spot: Spot, piece: Piece, joins: Mapping[str, str]) -> Iterator[tuple[str, Cell]]:
    for dock in piece.inlets:
        yield dock.belt, spot.cell(dock.at)
    for start in piece.starts:
        yield joins.get(start.to, start.to), spot.cell(start.cell)


def _belts(
    spot: Spot, piece: Piece, ends: Mapping[str, Sequence[Cell]], joins: Mapping[str, str]
) -> int:
    """Least length of the belts between the piece and what is placed."""
    return sum(
        abs(cell.x - other.x) + abs(cell.y - other.y)
        for name, cell in _ends(spot, piece, joins)
        for other in ends.get(name, ())
    )
