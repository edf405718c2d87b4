"""Short text for what layout files are full of: cells, boxes, paths, ports.

8,9        a cell of the floor        8,9,1         the same, one level up
8,9 3x3    a box: its north-west cell, then width and height
8,9 12,9 12,11      a path from cell to cell, straight between; a change of level goes
                    from one cell to the next; `|` stands where a path is broken
row 1 lane[17]      a port at cell number 17 of a belt, counted from its entry, from 0
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from loopwright.grid import Box, Cell
from loopwright.layout.layout import Port

_CELL = re.compile(r"(-?[0-9]{1,6}),(-?[0-9]{1,6})(?:,(-?[0-9]{1,3}))?")
_BOX = re.compile(r"(-?[0-9]{1,6}),(-?[0-9]{1,6}) +(-?[0-9]{1,6})x(-?[0-9]{1,6})")
_INDEX = re.compile(r"\[([0-9]{0,6})\]$")

LONGEST = 100_000
"""Most cells of a path."""


class NotationError(ValueError):
    """A text is not in the form that it should have; the message says what form that is."""


def cell_text(cell: Cell) -> str:
    """A cell as text; the level is left out on the floor."""
    return f"{cell.x},{cell.y}" + (f",{cell.level}" if cell.level else "")


def parse_cell(text: str) -> Cell:
    """The cell that `cell_text` wrote.

    Raises
    ------
    NotationError
        The text is no cell.
    """
    found = _CELL.fullmatch(text.strip())
    if found is None:
        raise NotationError("a cell such as 8,9, or 8,9,1 one level up")
    x, y, level = found.groups(default="0")
    return Cell(int(x), int(y), int(level))


def box_text(box: Box) -> str:
    """A box as text."""
    return f"{box.x},{box.y} {box.width}x{box.height}"


def parse_box(text: str) -> Box:
    """The box that `box_text` wrote.

    Raises
    ------
    NotationError
        The text is no box.
    """
    found = _BOX.fullmatch(text.strip())
    if found is None:
        raise NotationError("a box such as 8,9 3x3: its north-west cell, width and height")
    x, y, width, height = map(int, found.groups())
    return Box(x, y, width, height)


def _step(one: Cell, other: Cell) -> tuple[int, int, int]:
    return other.x - one.x, other.y - one.y, other.level - one.level


def _is_straight(step: tuple[int, int, int]) -> bool:
    """Whether a step goes to a neighbour on the same level, so that a run can go on with it."""
    return step[2] == 0 and abs(step[0]) + abs(step[1]) == 1


def path_text(path: Sequence[Cell]) -> str:
    """A path by its corners."""
    words: list[str] = []
    for index, cell in enumerate(path):
        if index:
            step = _step(path[index - 1], cell)
            after = _step(cell, path[index + 1]) if index + 1 < len(path) else None
            if _is_straight(step) and step == after:
                continue
            if not _is_straight(step) and not _is_level_change(step):
                words.append("|")
        words.append(cell_text(cell))
    return " ".join(words)


def _is_level_change(step: tuple[int, int, int]) -> bool:
    return step[2] != 0 and abs(step[0]) + abs(step[1]) == 1


def parse_path(text: str) -> tuple[Cell, ...]:
    """The path that `path_text` wrote.

    Raises
    ------
    NotationError
        The text is no path.
    """
    path: list[Cell] = []
    broken = True
    for word in text.split():
        if word == "|":
            broken = True
            continue
        cell = parse_cell(word)
        if not broken:
            path.extend(_between(path[-1], cell, len(path)))
        path.append(cell)
        broken = False
    return tuple(path)


def _between(one: Cell, other: Cell, length: int) -> list[Cell]:
    dx, dy, up = _step(one, other)
    count = abs(dx) + abs(dy)
    if (dx and dy) or not count or (up and count > 1) or length + count > LONGEST:
        raise NotationError(
            f"from {cell_text(one)} on a cell straight ahead, or | where the path is broken; a "
            "change of level goes to the next cell"
        )
    x, y = (dx > 0) - (dx < 0), (dy > 0) - (dy < 0)
    return [Cell(one.x + x * n, one.y + y * n, one.level) for n in range(1, count)]


def port_text(port: Port) -> str:
    """A port as text."""
    if port.index is not None:
        return f"{port.device}[{port.index}]"
    return port.device + ("[]" if _INDEX.search(port.device) else "")


def parse_port(text: str) -> Port:
    """The port that `port_text` wrote."""
    found = _INDEX.search(text)
    if found is None:
        return Port(text)
    device = text[: found.start()]
    return Port(device, int(found[1]) if found[1] else None)
