"""A loop small enough to try out everything that can happen to it.

One step of the model is one step of the belts: cycles may end, the loop turns, the gate admits
what it may, pickers pick. Supplies come when they like, cycles last as long as they like, and with
`late` a pick may be missed. So whatever a real loop of that size does, the model does too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import permutations, product

from loopwright.prove.search import Exploration, Move, explore

BACK = -1
"""In the pattern of a drained loop: a place of what comes back."""

Slot = tuple[int, int] | None
"""Material and units on a cell."""
Stock = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Desk:
    """A station of the model: units of each material held, whether it runs, what its picker holds
    (None for empty hands)."""

    held: Stock
    runs: bool
    hand: int | None


@dataclass(frozen=True, slots=True)
class Small:
    """The state of a miniature: cells from the gate on, desks, and what the gate remembers (place
    in the pattern, or the last actions of a windowed gate)."""

    cells: tuple[Slot, ...]
    desks: tuple[Desk, ...]
    place: int
    window: tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class Miniature:
    """What a small loop is made of.

    `cells` is L; `seam` the number of cells of the lane, after which the ring of belts is cut open,
    or 0 for a ring that is driven all round and keeps no cell free; `places` are the cells of the
    pickers, `needs` a cycle's units, `caps` the units that fit, `load` the units on a fresh
    carrier. `rule` is open, quota (counted, scarcest-first), windowed, ratio-locked or drained; the
    gates that look at live counts differ only in who goes first, which is up to the supplies here.
    In the pattern of a drained loop BACK stands for what comes back; its last cell is that before
    the gate, and what has no room there leaves.
    `picks` is unit (one unit where there is room), whole (a carrier where all of it fits) or grab
    (one unit, room or not).
    """

    cells: int
    places: tuple[int, ...]
    needs: Stock
    caps: Stock
    rule: str = "open"
    quotas: Stock = ()
    pattern: Stock = ()
    seam: int = 2
    load: int = 1
    picks: str = "unit"
    late: bool = False

    def __post_init__(self) -> None:
        """Refuse a picker where no carrier ever rests.

        Raises
        ------
        ValueError
            A picker stands at the last cell of the lane.
        """
        if self.seam and self.rule != "drained" and self.seam - 1 in self.places:
            raise ValueError("a picker at the seam takes nothing")

    @property
    def window(self) -> int:
        """Actions that a windowed gate remembers: L - 1."""
        return self.cells - 1 if self.rule == "windowed" else 0

    def start(self) -> Small:
        """Nothing anywhere."""
        desk = Desk((0,) * len(self.needs), False, None)
        desks = (desk,) * len(self.places)
        return Small((None,) * self.cells, desks, 0, (None,) * self.window)

    def moves(self, state: Small) -> Iterator[Move[Small]]:
        """All ways in which one step can go."""
        for ends in product(*((False, True) if desk.runs else (False,) for desk in state.desks)):
            desks = tuple(
                Desk(desk.held, desk.runs and not end, desk.hand)
                for desk, end in zip(state.desks, ends, strict=True)
            )
            desks = tuple(self._begin(desk) for desk in desks)
            ended = f"ends {sum(ends)}; " if any(ends) else ""
            for entered, cells, place, window in self._turn(state):
                for picked, after in self._pick(cells, desks):
                    following = Small(after, picked, place, window)
                    label = f"{ended}in {'-' if entered is None else 'ABCDEFG'[entered]}"
                    yield Move(label, following, any(ends))

    def _begin(self, desk: Desk) -> Desk:
        if desk.runs or any(h < need for h, need in zip(desk.held, self.needs, strict=True)):
            return desk
        held = tuple(h - need for h, need in zip(desk.held, self.needs, strict=True))
        return Desk(held, True, desk.hand)

    def _turn(
        self, state: Small
    ) -> Iterator[tuple[int | None, tuple[Slot, ...], int, tuple[int | None, ...]]]:
        """(admitted, cells, place, window) after the belts have stepped."""
        if self.rule == "drained":
            for entered, after, place in self._drained(state):
                yield entered, after, place, state.window
            return
        cells = list(state.cells)
        if self.seam == 0:
            cells.insert(0, cells.pop())
            acts, ours = cells[0] is None, False
        else:
            advance(cells, 0, self.seam)
            acts = cells[0] is None
            ours = acts and cells[-1] is not None
            if ours:
                cells[0], cells[-1] = cells[-1], None
        if not acts or ours:
            yield None, self._return(cells), state.place, self._seen(state, cells, acts)
            return
        yield None, self._return(list(cells)), state.place, self._seen(state, cells, acts)
        for material in self._admissible(state):
            fresh = list(cells)
            fresh[0] = (material, self.load)
            place = (state.place + 1) % len(self.pattern) if self.pattern else 0
            window = self._seen(state, fresh, acts)
            yield material, self._return(fresh), place, window

    def _drained(self, state: Small) -> Iterator[tuple[int | None, tuple[Slot, ...], int]]:
        """(admitted, cells, place): the lane, what waits before the gate, then the return step."""
        cells, place, last = list(state.cells), state.place, self.cells - 1
        advance(cells, 0, self.seam)
        if cells[0] is not None:
            yield None, self._way_out(cells), place
            return
        while self.pattern[place] == BACK and cells[last] is None:
            place = (place + 1) % len(self.pattern)
        after = (place + 1) % len(self.pattern)
        material = self.pattern[place]
        if material == BACK:
            cells[0], cells[last] = cells[last], None
            yield None, self._way_out(cells), after
            return
        yield None, self._way_out(list(cells)), place
        cells[0] = (material, self.load)
        yield material, self._way_out(cells), after

    def _way_out(self, cells: list[Slot]) -> tuple[Slot, ...]:
        """The return steps: its head goes before the gate, or out if there is no room."""
        last = self.cells - 1
        if cells[last] is None:
            cells[last] = cells[last - 1]
        cells[last - 1] = None
        advance(cells, self.seam, last)
        if cells[self.seam] is None:
            cells[self.seam], cells[self.seam - 1] = cells[self.seam - 1], None
        return tuple(cells)

    def _return(self, cells: list[Slot]) -> tuple[Slot, ...]:
        """The return belt steps after the lane: to the gate, and its tail takes the lane's head."""
        if 0 < self.seam < self.cells:
            advance(cells, self.seam, self.cells)
            if cells[self.seam] is None:
                cells[self.seam], cells[self.seam - 1] = cells[self.seam - 1], None
        return tuple(cells)

    def _seen(self, state: Small, cells: list[Slot], acts: bool) -> tuple[int | None, ...]:
        if self.rule != "windowed" or (self.seam and not acts):
            return state.window
        first = cells[0]
        return (*state.window, first[0] if first else None)[1:]

    def _admissible(self, state: Small) -> Iterator[int]:
        if self.rule == "ratio-locked":
            yield self.pattern[state.place]
            return
        for material in range(len(self.needs)):
            if self.rule == "windowed":
                count = state.window.count(material)
            else:
                count = sum(1 for slot in state.cells if slot and slot[0] == material)
            if self.rule == "open" or count < self.quotas[material]:
                yield material

    def _pick(
        self, cells: tuple[Slot, ...], desks: tuple[Desk, ...]
    ) -> Iterator[tuple[tuple[Desk, ...], tuple[Slot, ...]]]:
        """Every outcome of the picks, station by station along the loop."""
        chances = (False, True) if self.late else (False,)
        outcomes = [(desks, cells)]
        for number, place in enumerate(self.places):
            grown = []
            for now, belt in outcomes:
                for missed in chances:
                    desk, slot = now[number], belt[place]
                    if missed and not self._takes(desk, slot):
                        continue
                    if not missed:
                        desk, slot = self._taken(desk, slot)
                    desk = self._begin(desk)
                    grown.append(
                        (
                            (*now[:number], desk, *now[number + 1 :]),
                            (*belt[:place], slot, *belt[place + 1 :]),
                        )
                    )
            outcomes = grown
        yield from outcomes

    def _takes(self, desk: Desk, slot: Slot) -> int:
        """Units that the picker of `desk` takes from `slot`."""
        if slot is None or desk.hand is not None:
            return 0
        material, units = slot
        room = self.caps[material] - desk.held[material]
        if self.picks == "whole":
            return units if room >= units else 0
        return 1 if room > 0 or self.picks == "grab" else 0

    def _taken(self, desk: Desk, slot: Slot) -> tuple[Desk, Slot]:
        if self.picks == "grab" and desk.hand is not None:
            return self._put(desk, desk.hand, 1), slot
        count = self._takes(desk, slot)
        if not count or slot is None:
            return desk, slot
        material, units = slot
        left = (material, units - count) if units > count else None
        return self._put(desk, material, count), left

    def _put(self, desk: Desk, material: int, count: int) -> Desk:
        """Into the station if there is room; else it stays in the hand."""
        if desk.held[material] + count > self.caps[material]:
            return Desk(desk.held, desk.runs, material)
        held = list(desk.held)
        held[material] += count
        return Desk(tuple(held), desk.runs, None)

    def _alike(self) -> list[tuple[int, ...]]:
        """Renamings of materials under which the model is the same."""
        count = len(self.needs)
        if self.rule in ("ratio-locked", "drained"):
            return [tuple(range(count))]
        kinds = [
            (self.needs[m], self.caps[m], self.quotas[m] if self.quotas else 0)
            for m in range(count)
        ]
        return [
            names
            for names in permutations(range(count))
            if all(kinds[names[m]] == kinds[m] for m in range(count))
        ]

    def least(self) -> Callable[[Small], Small]:
        """Gives the first of the states that differ from one by a renaming of materials only."""
        alike = self._alike()
        if len(alike) == 1:
            return lambda state: state
        return lambda state: min((_renamed(state, names) for names in alike), key=_key)


def search_miniature(miniature: Miniature, *, most: int = 1_000_000) -> Exploration[Small]:
    """All that can happen to `miniature` from empty; a jam is a state without a later product.

    States alike but for the names of materials count as one; the trace keeps to one set of names.

    Raises
    ------
    SearchLimitError
        There are more than `most` states.
    """
    least = miniature.least()

    def moves(state: Small) -> Iterator[Move[Small]]:
        for move in miniature.moves(state):
            yield Move(move.label, least(move.state), move.useful)

    found = explore(miniature.start(), moves, most=most)
    trace: list[tuple[str, Small]] = list(found.trace[:1])
    for _, goal in found.trace[1:]:
        ahead = (move for move in miniature.moves(trace[-1][1]) if least(move.state) == goal)
        move = next(ahead)
        trace.append((move.label, move.state))
    return replace(found, trace=tuple(trace))


def advance(cells: list[Slot], tail: int, end: int) -> None:
    """A belt on the cells from `tail` up to `end` steps: what has a free cell ahead moves."""
    for index in reversed(range(tail, end - 1)):
        if cells[index + 1] is None:
            cells[index + 1], cells[index] = cells[index], None


def _renamed(state: Small, names: tuple[int, ...]) -> Small:
    back = [names.index(material) for material in range(len(names))]
    return Small(
        tuple(slot and (names[slot[0]], slot[1]) for slot in state.cells),
        tuple(
            Desk(
                tuple(desk.held[m] for m in back),
                desk.runs,
                None if desk.hand is None else names[desk.hand],
            )
            for desk in state.desks
        ),
        state.place,
        tuple(None if m is None else names[m] for m in state.window),
    )


def _key(state: Small) -> tuple[object, ...]:
    return (
        tuple(slot or (-1, 0) for slot in state.cells),
        tuple((desk.held, desk.hand is None, desk.hand or 0) for desk in state.desks),
        tuple(-1 if m is None else m for m in state.window),
    )
