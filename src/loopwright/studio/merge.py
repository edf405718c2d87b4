"""Two changes of one text in one text, where they do not touch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher


@dataclass(frozen=True, slots=True)
class Hunk:
    """Lines `start` to `end` (from 0, without the end) of the base give way to `lines`."""

    start: int
    end: int
    lines: tuple[str, ...]

    def touches(self, other: Hunk) -> bool:
        """Whether both change the same lines, or lines side by side."""
        return self.start <= other.end and other.start <= self.end


def merge_texts(base: str, ours: str, theirs: str) -> str | None:
    """The text with the changes that lead from `base` to `ours` and to `theirs`, or None where they
    touch. A change that both made is made once."""
    lines = _lines(base)
    mine, others = list(_hunks(lines, _lines(ours))), list(_hunks(lines, _lines(theirs)))
    mine = [hunk for hunk in mine if hunk not in others]
    if any(hunk.touches(other) for hunk in mine for other in _near(hunk, others)):
        return None
    for hunk in sorted([*mine, *others], key=lambda hunk: hunk.start, reverse=True):
        lines[hunk.start : hunk.end] = hunk.lines
    return "".join(lines)


def _near(hunk: Hunk, others: list[Hunk]) -> Iterator[Hunk]:
    return (other for other in others if other.start <= hunk.end)


def _lines(text: str) -> list[str]:
    """Lines with their ends; unlike `splitlines` only at line feeds, as an editor counts."""
    parts = text.split("\n")
    lines = [part + "\n" for part in parts[:-1]]
    return [*lines, parts[-1]] if parts[-1] else lines


def _hunks(before: list[str], after: list[str]) -> Iterator[Hunk]:
    """What changes between two texts. What is equal at both ends is set aside first, so that a
    small change of a long text is found quickly."""
    head = 0
    shorter = min(len(before), len(after))
    while head < shorter and before[head] == after[head]:
        head += 1
    tail = 0
    while tail < shorter - head and before[-1 - tail] == after[-1 - tail]:
        tail += 1
    old, new = before[head : len(before) - tail], after[head : len(after) - tail]
    for kind, i, j, k, m in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind != "equal":
            yield Hunk(head + i, head + j, tuple(new[k:m]))
