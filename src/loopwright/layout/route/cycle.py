"""A cycle in a graph of constraints."""

from __future__ import annotations

from collections.abc import Mapping

from loopwright.layout.route.channel import Piece


def find_cycle(nearer: Mapping[Piece, set[Piece]]) -> list[Piece]:
    """The pieces of one cycle; empty where there is none. The same graph gives the same cycle."""
    done: set[Piece] = set()
    for start in sorted(nearer, key=_key):
        if start in done:
            continue
        way: list[Piece] = []
        on_way: set[Piece] = set()
        stack = [(start, iter(sorted(nearer[start], key=_key)))]
        way.append(start)
        on_way.add(start)
        while stack:
            piece, rest = stack[-1]
            other = next(rest, None)
            if other is None:
                stack.pop()
                way.pop()
                on_way.discard(piece)
                done.add(piece)
            elif other in on_way:
                return way[way.index(other) :]
            elif other not in done:
                stack.append((other, iter(sorted(nearer[other], key=_key))))
                way.append(other)
                on_way.add(other)
    return []


def _key(piece: Piece) -> tuple[int, int, str, int]:
    return piece.first, piece.last, piece.net, piece.number
