"""Doglegs: a net cut at a place, so that it may change its track there."""

from __future__ import annotations

from collections.abc import Mapping

from loopwright.layout.route.channel import Channel, Piece, constraints
from loopwright.layout.route.cycle import find_cycle


def cut_piece(channel: Channel, pieces: list[Piece], piece: Piece) -> list[Piece] | None:
    """`pieces` with `piece` cut in two; None where it has no place to change track.

    A place will do where no other net has a pin and no other piece is cut: between its ends the
    belt crosses the channel there. The first place that leaves no cycle is taken, else the one in
    the middle.
    """
    taken = {pin.at for pin in channel.pins if pin.net != piece.net}
    taken |= {other.first for other in pieces if other.number}
    places = [place for place in range(piece.first + 1, piece.last) if place not in taken]
    cuts = [_cut(pieces, piece, place) for place in _middle_first(places)]
    clean = (cut for cut in cuts if not find_cycle(constraints(channel, cut)))
    return next(clean, cuts[0] if cuts else None)


def _middle_first(places: list[int]) -> list[int]:
    middle = len(places) // 2
    ranked = sorted((abs(index - middle), place) for index, place in enumerate(places))
    return [place for _, place in ranked]


def _cut(pieces: list[Piece], piece: Piece, place: int) -> list[Piece]:
    kept = [other for other in pieces if other.net != piece.net]
    own = [other for other in pieces if other.net == piece.net and other != piece]
    own += [
        Piece(piece.net, 0, piece.first, place),
        Piece(piece.net, 0, place, piece.last),
    ]
    own.sort(key=lambda other: other.first)
    numbered = [Piece(p.net, number, p.first, p.last) for number, p in enumerate(own)]
    return [*kept, *numbered]


def longest_chain_piece(nearer: Mapping[Piece, set[Piece]]) -> Piece | None:
    """The longest piece on the longest chain of constraints; None where there are none.

    The graph has no cycle.
    """
    depth: dict[Piece, int] = {}
    before: dict[Piece, Piece | None] = {}
    for piece in sorted(nearer, key=lambda p: (p.first, p.last, p.net, p.number)):
        _measure(piece, nearer, depth, before)
    if not depth or max(depth.values()) == 0:
        return None
    at: Piece | None = max(depth, key=lambda piece: depth[piece])
    chain = []
    while at is not None:
        chain.append(at)
        at = before[at]
    return max(chain, key=lambda piece: (piece.last - piece.first, piece.net, piece.number))


def _measure(
    piece: Piece,
    nearer: Mapping[Piece, set[Piece]],
    depth: dict[Piece, int],
    before: dict[Piece, Piece | None],
) -> None:
    """Depth of `piece` and of all below it, without recursion."""
    stack = [piece]
    while stack:
        top = stack[-1]
        missing = [other for other in nearer[top] if other not in depth]
        if top in depth:
            stack.pop()
        elif missing:
            stack.extend(missing)
        else:
            below = sorted(nearer[top], key=lambda p: (depth[p], p.net, p.number))
            before[top] = below[-1] if below else None
            depth[top] = depth[below[-1]] + 1 if below else 0
            stack.pop()
