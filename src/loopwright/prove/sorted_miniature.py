"""A small loop whose leftovers come back on sidings, to be tried out whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from loopwright.prove.miniature import Desk, Miniature, Slot, Small, Stock, advance


@dataclass(frozen=True, slots=True)
class SortedMiniature(Miniature):
    """`cells` is the lane alone; at its end each material goes onto its siding, of `sidings` cells,
    and from there to its feed of `feed` cells. `rule` is ratio-locked, or open, which passes by a
    feed that has nothing; `place` then is the feed whose turn it is. With `fresh_first` supply does
    not wait for the siding.

    The cells of a state are the lane, the sidings, the feeds. Belts step as the rule book says for
    these names: feeds, sidings, lane.
    """

    sidings: Stock = ()
    feed: int = 1
    fresh_first: bool = False

    def __post_init__(self) -> None:
        """Any cell of the lane will do for a picker: the lane ends at a divert."""

    def start(self) -> Small:
        """Nothing anywhere."""
        desk = Desk((0,) * len(self.needs), False, None)
        size = self.cells + sum(self.sidings) + self.feed * len(self.sidings)
        return Small((None,) * size, (desk,) * len(self.places), 0, ())

    def siding(self, material: int) -> tuple[int, int]:
        """The first cell of a siding, and the one behind its last."""
        first = self.cells + sum(self.sidings[:material])
        return first, first + self.sidings[material]

    def fed(self, material: int) -> tuple[int, int]:
        """The first cell of a feed, and the one behind its last."""
        first = self.cells + sum(self.sidings) + self.feed * material
        return first, first + self.feed

    def _turn(
        self, state: Small
    ) -> Iterator[tuple[int | None, tuple[Slot, ...], int, tuple[int | None, ...]]]:
        seen = set()
        for supplied in product((False, True), repeat=len(self.sidings)):
            cells = list(state.cells)
            for material, comes in enumerate(supplied):
                self._feed_step(cells, material, comes)
            for material in range(len(self.sidings)):
                advance(cells, *self.siding(material))
            entered, place = self._lane_step(cells, state.place)
            outcome = entered, tuple(cells), place
            if outcome not in seen:
                seen.add(outcome)
                yield (*outcome, ())

    def _feed_step(self, cells: list[Slot], material: int, comes: bool) -> None:
        """The feed moves on and takes what waits on its siding, or else fresh supply."""
        first, end = self.fed(material)
        advance(cells, first, end)
        if cells[first] is not None:
            return
        waits = self.siding(material)[1] - 1
        if comes and (self.fresh_first or cells[waits] is None):
            cells[first] = (material, self.load)
        else:
            cells[first], cells[waits] = cells[waits], None

    def _lane_step(self, cells: list[Slot], place: int) -> tuple[int | None, int]:
        """The lane's head is sorted out, the lane moves on, the gate passes one: (what, place)."""
        head = cells[self.cells - 1]
        if head is not None:
            tail = self.siding(head[0])[0]
            if cells[tail] is None:
                cells[tail], cells[self.cells - 1] = head, None
        advance(cells, 0, self.cells)
        if cells[0] is not None:
            return None, place
        kinds = len(self.sidings)
        turns = [self.pattern[place]] if self.rule != "open" else range(place, place + kinds)
        for turn in turns:
            material = turn % kinds
            head_cell = self.fed(material)[1] - 1
            if cells[head_cell] is not None:
                cells[0], cells[head_cell] = cells[head_cell], None
                after = place + 1 if self.rule != "open" else material + 1
                return material, after % (kinds if self.rule == "open" else len(self.pattern))
        return None, place

    def _alike(self) -> list[tuple[int, ...]]:
        return [tuple(range(len(self.needs)))]
