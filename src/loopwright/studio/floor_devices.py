"""A layout for the page: what stands where, by name, in the order of frames."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from loopwright.drawing.palette import MATERIALS, hatch_parts
from loopwright.grid import Box, Cell
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Belt, Layout
from loopwright.layout.rule import rules_of
from loopwright.simulate.reading.text import figure
from loopwright.simulate.wiring import Wiring, inlets_of
from loopwright.studio.drawn import drawn
from loopwright.studio.floor_message import (
    Floor,
    FloorBelt,
    FloorDevice,
    FloorMaterial,
    FloorPicker,
    FloorRow,
    FloorStation,
)
from loopwright.studio.laid import Laid


def floor_message(laid: Laid, layout: Layout) -> Floor:
    """`layout`, which may be another than that of `laid`, for the page."""
    wiring = Wiring(layout)
    carried = carried_materials(layout)
    marks, words, looks = drawn(layout)
    product = laid.block.product
    return Floor(
        title=layout.title,
        width=layout.width,
        height=layout.height,
        cell=float(layout.cell_size),
        digest=laid.digest,
        edited=laid.edited,
        materials=_materials(layout, wiring),
        belts=tuple(_belt(belt, carried[belt.name]) for belt in wiring.belts.values()),
        stations=tuple(
            FloorStation(name=s.name, row=s.row, box=s.box, recipe=s.recipe)
            for s in wiring.stations.values()
        ),
        pickers=tuple(
            FloorPicker(
                name=name,
                x=wiring.pickers[name].at.x,
                y=wiring.pickers[name].at.y,
                facing=wiring.pickers[name].facing.value,
                source=wiring.pickers[name].source.device,
                target=wiring.pickers[name].target.device,
            )
            for name in wiring.picker_rank
        ),
        gates=tuple(_gates(layout)),
        merges=tuple(_merges(layout)),
        side_merges=tuple(_side_merges(layout, wiring)),
        diverts=tuple(_diverts(layout)),
        sources=tuple(_sources(layout)),
        drains=tuple(_drains(layout)),
        stores=tuple(
            FloorDevice(name=s.name, box=s.box, detail=f"store for {s.cap} units")
            for s in layout.stores
        ),
        applicators=tuple(
            FloorDevice(
                name=one.name,
                box=_at(one.at),
                detail=f"applicator of {one.agent} over {one.belt}",
                belts=(one.belt,),
            )
            for one in layout.applicators
        ),
        obstacles=tuple((b.x, b.y, b.width, b.height) for b in layout.obstacles),
        nodes=tuple(_nodes(layout)),
        rows=_rows(layout),
        scenarios=tuple(laid.project.scenarios),
        target=float(laid.target),
        product=product,
        looks=looks,
        marks=marks,
        words=words,
    )


def _materials(layout: Layout, wiring: Wiring) -> tuple[FloorMaterial, ...]:
    """In the order of their numbers in frames, in the colours of the drawing."""
    number = {material.name: index + 1 for index, material in enumerate(layout.materials)}
    kinds = {material.name: material for material in layout.materials}
    found = []
    for name in wiring.materials:
        kind = kinds[name]
        _, hatch, over = hatch_parts(f"hatch{number[name]}")
        found.append(
            FloorMaterial(
                name=name,
                letter=kind.letter,
                title=kind.title or name,
                stack=kind.stack,
                colour=(number[name] - 1) % MATERIALS + 1,
                hatch=hatch,
                over=over,
            )
        )
    return tuple(found)


def _belt(belt: Belt, carries: tuple[str, ...]) -> FloorBelt:
    corners: list[Cell] = []
    for cell in belt.path:
        if len(corners) > 1 and _straight(corners[-2], corners[-1], cell):
            corners[-1] = cell
        else:
            corners.append(cell)
    return FloorBelt(
        name=belt.name,
        role=belt.role,
        speed=float(belt.speed),
        cells=len(belt.path),
        path=tuple(value for cell in corners for value in cell),
        carries=carries,
    )


def _straight(one: Cell, other: Cell, third: Cell) -> bool:
    """Whether three cells of a path lie in a line, on one level."""
    steps = [(_way(b.x - a.x), _way(b.y - a.y), b.level - a.level)
             for a, b in pairwise((one, other, third))]  # fmt: skip
    return steps[0] == steps[1] and one.level == other.level == third.level


def _way(step: int) -> int:
    return (step > 0) - (step < 0)


def _at(cell: Cell) -> tuple[int, int, int, int]:
    return (cell.x, cell.y, 1, 1)


def _gates(layout: Layout) -> Iterator[FloorDevice]:
    for gate in layout.gates:
        main = f", {gate.told_main}" if gate.main else ""
        yield FloorDevice(
            name=gate.name,
            box=gate.box,
            rule=gate.rule,
            rules=rules_of(layout, gate.name),
            detail=f"gate, {gate.rule}{main}",
            belts=(*inlets_of(gate), gate.outlet),
        )


def _merges(layout: Layout) -> Iterator[FloorDevice]:
    for merge in layout.merges:
        joint = len(merge.inlets) == 1
        yield FloorDevice(
            name=merge.name,
            box=_at(merge.at),
            rule=None if joint else merge.rule,
            rules=rules_of(layout, merge.name),
            detail="joint" if joint else f"merge, {merge.rule}",
            belts=(*merge.inlets, merge.outlet),
        )


def _side_merges(layout: Layout, wiring: Wiring) -> Iterator[FloorDevice]:
    for side in layout.side_merges:
        yield FloorDevice(
            name=side.name,
            box=_at(wiring.belts[side.inlet].path[-1]),
            detail=f"side merge into the flank of {side.main}",
            belts=(side.inlet, side.main),
        )


def _diverts(layout: Layout) -> Iterator[FloorDevice]:
    for divert in layout.diverts:
        yield FloorDevice(
            name=divert.name,
            box=_at(divert.at),
            rule=divert.rule,
            rules=rules_of(layout, divert.name),
            detail=f"divert, {divert.rule}",
            belts=(divert.inlet, *divert.outlets),
        )


def _sources(layout: Layout) -> Iterator[FloorDevice]:
    for source in layout.sources:
        rate = "" if source.rate is None else f", at most {figure(source.rate)} carriers/s"
        yield FloorDevice(
            name=source.name,
            box=_at(source.at),
            detail=f"dock, brings {source.material}, {source.load} a carrier{rate}",
            belts=(source.belt,),
            material=source.material,
        )


def _drains(layout: Layout) -> Iterator[FloorDevice]:
    for drain in layout.drains:
        yield FloorDevice(
            name=drain.name,
            box=_at(drain.at),
            detail=f"{drain.purpose} dock",
            belts=(drain.belt,),
        )


def _nodes(layout: Layout) -> Iterator[FloorDevice]:
    kinds = {kind.name: kind.title for kind in layout.power_kinds}
    for node in layout.power_nodes:
        yield FloorDevice(name=node.name, box=_at(node.at), detail=kinds.get(node.kind, node.kind))


def _rows(layout: Layout) -> tuple[FloorRow, ...]:
    boxes: dict[str, Box] = {}
    for station in layout.stations:
        if station.row:
            boxes[station.row] = boxes.get(station.row, station.box).union(station.box)
    return tuple(FloorRow(name=name, box=box) for name, box in boxes.items())
