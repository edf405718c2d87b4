"""The entries of a row: where each material comes to its head."""

from __future__ import annotations

from dataclasses import dataclass

from loopwright.grid import Cell, Heading
from loopwright.layout.layout import Belt, Source


@dataclass(frozen=True, slots=True)
class Entry:
    """`dock` stands before `belt`, a supply belt or plain lane of `row`, and can be replaced by
    what brings the material from elsewhere.

    `depth` is the dock's `v`; `inward` leads from the outermost entry towards the stations.
    """

    row: str
    stations: int
    depth: int
    inward: Heading
    dock: Source
    belt: Belt

    @property
    def material(self) -> str:
        """What arrives."""
        return self.dock.material

    @property
    def at(self) -> Cell:
        """The cell before the belt's first."""
        return self.dock.at


def heads(entries: list[Entry]) -> list[list[Entry]]:
    """The entries of each row, the outermost first; rows from north to south."""
    rows: dict[str, list[Entry]] = {}
    for entry in entries:
        rows.setdefault(entry.row, []).append(entry)
    found = [sorted(held, key=lambda entry: -entry.depth) for held in rows.values()]
    return sorted(found, key=lambda held: held[0].at.y)
