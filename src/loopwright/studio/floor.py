"""The floor, asked for and edited: what is moved or set otherwise is checked again."""

from __future__ import annotations

from dataclasses import replace

from starlette.routing import Route

from loopwright.finding import DesignError, Severity
from loopwright.grid import Cell
from loopwright.layout import check_layout
from loopwright.layout.footprint import footprints
from loopwright.layout.layout import Layout
from loopwright.layout.move import Step, moved_layout, row_corners
from loopwright.layout.power.place import with_power
from loopwright.layout.rule import ruled_layout
from loopwright.layout.write import layout_yaml
from loopwright.record import Origin
from loopwright.simulate.limit import LayoutError
from loopwright.studio.answer import answers, answers_to
from loopwright.studio.desk import Desk
from loopwright.studio.floor_devices import floor_message
from loopwright.studio.floor_message import AskFloor, EditFloor, FloorAnswer, Move
from loopwright.studio.message import findings
from loopwright.studio.refusal import RefusalError


def _floor(desk: Desk, _parts: dict[str, str], asked: AskFloor) -> FloorAnswer:
    try:
        laid = desk.drafts.lay(desk.folder, asked.file, asked.text)
    except DesignError as error:
        return FloorAnswer(floor=None, findings=findings(error.findings))
    return FloorAnswer(floor=floor_message(laid, laid.layout), findings=findings(laid.findings))


def _edit(desk: Desk, _parts: dict[str, str], asked: EditFloor) -> FloorAnswer:
    try:
        laid = desk.drafts.lay(desk.folder, asked.file, asked.text)
    except DesignError as error:
        return FloorAnswer(floor=None, findings=findings(error.findings))
    before = laid.layout
    try:
        layout = _moved(before, asked.moves)
    except DesignError as error:
        return FloorAnswer(floor=floor_message(laid, before), findings=findings(error.findings))
    for rule in asked.rules:
        try:
            layout = ruled_layout(layout, rule.name, rule.rule)
        except ValueError as error:
            raise RefusalError(422, f"{error}.") from None
    if layout != before and layout.power_nodes == before.power_nodes:
        layout = with_power(replace(layout, power_nodes=(), power_links=()), laid.project)
    found = check_layout(layout)
    if any(one.severity is Severity.ERROR for one in found):
        try:
            shown = floor_message(laid, layout)
        except LayoutError:
            shown = floor_message(laid, before)
        return FloorAnswer(floor=shown, findings=findings(found))
    text = layout_yaml(layout, Origin(laid.digest))
    with desk.writing:
        desk.folder.write(desk.folder.layout_path(asked.file).name, text)
    laid = desk.drafts.lay(desk.folder, asked.file, asked.text)
    return FloorAnswer(
        floor=floor_message(laid, laid.layout), findings=findings(laid.findings), kept=True
    )


def _forget(desk: Desk, parts: dict[str, str]) -> dict[str, bool]:
    path = desk.folder.layout_path(parts["file"])
    with desk.writing:
        there = path.exists()
        path.unlink(missing_ok=True)
    return {"forgotten": there}


def _moved(layout: Layout, moves: tuple[Move, ...]) -> Layout:
    """`layout` with rows and devices put where `moves` say.

    Raises
    ------
    RefusalError
        There is no row or device of a name.
    """
    corners = row_corners(layout)
    stands: dict[str, Cell] = {}
    for name, cell in footprints(layout):
        stands.setdefault(name, cell)
    rows: dict[str, Step] = {}
    devices: dict[str, Step] = {}
    for move in moves:
        at = corners.get(move.name) or stands.get(move.name)
        if at is None:
            raise RefusalError(422, f"There is no row or device {move.name!r} to be moved.")
        step = (move.x - at.x, move.y - at.y)
        (rows if move.name in corners else devices)[move.name] = step
    return moved_layout(layout, rows, devices)


ROUTES = [
    Route("/api/floor", answers_to(AskFloor, _floor), methods=["POST"]),
    Route("/api/floor/edit", answers_to(EditFloor, _edit), methods=["POST"]),
    Route("/api/floor/{file}", answers(_forget), methods=["DELETE"]),
]
