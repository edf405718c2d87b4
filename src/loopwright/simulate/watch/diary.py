"""What is kept of a watched run: a short note every few seconds, and marks to go back to."""

from __future__ import annotations

from array import array
from bisect import bisect_right
from collections import deque
from dataclasses import dataclass
from fractions import Fraction

from loopwright.simulate.columns import Array
from loopwright.simulate.watch.tally import Tally

BEAT = Fraction(5)
"""Time from note to note [s]."""

MOST_MARKS = 240
"""Marks kept; with more, every other one is dropped."""

RECENT = 60
"""Looks at all cells kept for the mix on belts."""


@dataclass(frozen=True)
class Mark:
    """A tick to go back to: in which era it lies, all arrays, all counters."""

    tick: int
    era: int
    snapshot: bytes
    tally: Tally


class Diary:
    """Notes at beats 0, 1, 2 ..: `made` [units] so far by each product drain, stations blocked,
    starved and down at that moment; every `gap` beats a mark."""

    def __init__(self, drains: int) -> None:
        self.made = [array("q") for _ in range(drains)]
        self.blocked, self.starved, self.down = array("i"), array("i"), array("i")
        self.marks: list[Mark] = []
        self.gap = 2
        self.recent: deque[tuple[int, Array]] = deque(maxlen=RECENT)

    def __len__(self) -> int:
        """How many beats are noted."""
        return len(self.blocked)

    def note(self, made: list[int], blocked: int, starved: int, down: int) -> None:
        """Note the next beat."""
        for column, units in zip(self.made, made, strict=True):
            column.append(units)
        self.blocked.append(blocked)
        self.starved.append(starved)
        self.down.append(down)

    def total(self, beat: int) -> int:
        """Units made up to `beat`."""
        return sum(column[beat] for column in self.made)

    def keep(self, mark: Mark) -> None:
        """Keep a mark that is due; thin them out if they are many."""
        self.marks.append(mark)
        if len(self.marks) > MOST_MARKS:
            self.marks = self.marks[::2]
            self.gap *= 2

    def is_due(self, beat: int, tick: int) -> bool:
        """Whether a mark is to be kept at `beat`."""
        return beat % self.gap == 0 and not (self.marks and self.marks[-1].tick >= tick)

    def before(self, tick: int) -> Mark | None:
        """The last mark at or before `tick`."""
        place = bisect_right(self.marks, tick, key=lambda mark: mark.tick)
        return self.marks[place - 1] if place else None

    def forget(self, tick: int, beats: int, eras: int) -> None:
        """Drop marks after `tick` or not of the first `eras`, and all but the first `beats`."""
        self.marks = [mark for mark in self.marks if mark.tick <= tick and mark.era < eras]
        for column in (*self.made, self.blocked, self.starved, self.down):
            del column[beats:]
        while self.recent and self.recent[-1][0] > tick:
            self.recent.pop()
