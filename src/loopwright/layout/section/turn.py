"""A drawn piece put down elsewhere on the site, as it is or mirrored."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from loopwright.grid import Box, Cell, Heading
from loopwright.layout.draft import Device


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a piece of `width` cells goes: its north-west corner, and whether west and east are
    exchanged, so that what flowed east flows west."""

    corner: Cell
    width: int
    mirrored: bool

    def cell(self, cell: Cell) -> Cell:
        """Where a cell of the piece comes to lie."""
        x = self.width - 1 - cell.x if self.mirrored else cell.x
        return Cell(self.corner.x + x, self.corner.y + cell.y, cell.level)

    def box(self, box: Box) -> Box:
        """Where a box of the piece comes to lie."""
        x = self.width - box.x - box.width if self.mirrored else box.x
        return Box(self.corner.x + x, self.corner.y + box.y, box.width, box.height)

    def heading(self, heading: Heading) -> Heading:
        """The heading of what ran along `heading`."""
        turned = self.mirrored and heading in (Heading.EAST, Heading.WEST)
        return heading.reverse if turned else heading

    def device(self, device: Device) -> Device:
        """The device where it comes to stand."""
        changes: dict[str, Any] = {}
        if hasattr(device, "path"):
            changes["path"] = tuple(self.cell(cell) for cell in device.path)
        if hasattr(device, "at"):
            changes["at"] = self.cell(device.at)
        if hasattr(device, "box"):
            changes["box"] = self.box(device.box)
        if hasattr(device, "facing"):
            changes["facing"] = self.heading(device.facing)
        return replace(device, **changes)
