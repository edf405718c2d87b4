"""Every state that a small system can reach, and from which of them nothing useful follows."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

S = TypeVar("S", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Move(Generic[S]):
    """One way to go on: what happens, the state that follows, and whether it is useful.

    Useful moves are those that must stay possible: the end of a cycle, or any move at all where a
    deadlock is looked for.
    """

    label: str
    state: S
    useful: bool = False


@dataclass(frozen=True, slots=True)
class Exploration(Generic[S]):
    """What a search has seen.

    `states` counts those reached; `jams` are the ones from which no useful move can ever be
    reached again; `trace` is a shortest way into one of them: labels and states, the start first
    with an empty label. Without jams the trace is empty.
    """

    states: int
    jams: frozenset[S]
    trace: tuple[tuple[str, S], ...]

    @property
    def steps(self) -> int:
        """Moves of the shortest way into a jam."""
        return max(0, len(self.trace) - 1)


class SearchLimitError(Exception):
    """More states than the search was allowed to visit."""


def explore(
    start: S, moves: Callable[[S], Iterable[Move[S]]], *, most: int = 1_000_000
) -> Exploration[S]:
    """Visit every state that `moves` reaches from `start`, breadth first.

    Raises
    ------
    SearchLimitError
        There are more than `most` states.
    """
    came: dict[S, tuple[S, str] | None] = {start: None}
    before: dict[S, list[S]] = {}
    alive: list[S] = []
    queue = [start]
    for state in queue:
        useful = False
        for move in moves(state):
            useful = useful or move.useful
            before.setdefault(move.state, []).append(state)
            if move.state not in came:
                if len(came) >= most:
                    raise SearchLimitError(f"more than {most} states")
                came[move.state] = (state, move.label)
                queue.append(move.state)
        if useful:
            alive.append(state)
    reaching = set(alive)
    while alive:
        for state in before.get(alive.pop(), ()):
            if state not in reaching:
                reaching.add(state)
                alive.append(state)
    jams = [state for state in queue if state not in reaching]
    trace = _way(came, jams[0]) if jams else ()
    return Exploration(len(queue), frozenset(jams), trace)


def _way(came: dict[S, tuple[S, str] | None], goal: S) -> tuple[tuple[str, S], ...]:
    way = []
    state, step = goal, came[goal]
    while step is not None:
        way.append((step[1], state))
        state, step = step[0], came[step[0]]
    way.append(("", state))
    return tuple(reversed(way))
