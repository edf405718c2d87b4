"""A mixer by itself on a floor: docks, tree, and a drain for what comes out."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from loopwright.block.mixer import Mixer
from loopwright.grid import Cell
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Drain, Layout, Material, Source
from loopwright.layout.mixing.draw import floor_devices
from loopwright.layout.mixing.floor import mixer_floor, rows_of

SPAN = 4
"""Cells that its bridges span."""

PRODUCT_CELLS = 4
"""The belt from its outlet to the drain [cells]."""

PRODUCT_BELT = "mixer product"
PRODUCT = "mixer product dock"
"""Where the product leaves, and the drain that takes it."""


def mixer_layout(mixer: Mixer, rates: Mapping[str, Fraction] | None = None) -> Layout:
    """`mixer` with belts of one cell a second and carriers of one unit. The docks of the materials
    in `rates` [carriers/s] bring only so much, all others as much as their belts take."""
    floor = mixer_floor(mixer, 0, 0, SPAN)
    west = 1 - floor.west

    def place(cell: Cell) -> Cell:
        return Cell(cell.x + west, cell.y + 1, cell.level)

    east = place(floor.outlet[-1]).x
    path = (*map(place, floor.outlet), *(Cell(east + n + 1, 1) for n in range(PRODUCT_CELLS)))
    product = Belt(PRODUCT_BELT, path, Fraction(1), "output")
    draft = Draft()
    draft.add(*floor_devices(floor, "mixer", product, place))
    draft.add(Drain(PRODUCT, Cell(path[-1].x + 1, 1), product.name))
    for row, material in enumerate(floor.docks):
        belt = f"mixer supply {material}"
        rate = (rates or {}).get(material)
        at = place(Cell(floor.west, row))
        draft.add(Source(f"mixer dock {material}", at, belt, material, 1, rate))
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    names = [name for name, _ in mixer.shares]
    return draft.freeze(
        Layout(
            title=f"Mixer {':'.join(str(share) for _, share in mixer.shares)}",
            width=path[-1].x + 3,
            height=rows_of(mixer) + 2,
            cell_size=Fraction(1),
            materials=tuple(
                Material(name, letter, name, 1)
                for name, letter in zip(names, letters, strict=False)
            ),
            recipes=(),
            bridge_span=SPAN,
        )
    )
