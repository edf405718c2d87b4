"""Little picture of a row design: lanes, rows and outputs as they lie, without places or scale."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import cycle, islice

from loopwright.block.block import Block, Lane, RowDesign
from loopwright.drawing.mark import Area, Line, Mark, Symbol, Text, rectangle
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg

_WIDTH, _LEFT, _LENGTH = 260.0, 24.0, 186.0
"""Width of the picture, where rows begin, and the length of the longest row."""

_BOX, _LANE, _OUT, _GAP = 9.0, 5.0, 4.0, 3.0
_RETURN = 6.0
_BANDS = 2
"""Pairs of rows that are drawn; a line of words stands for the others."""

_MOST_BOXES = 48
_TURNS = 12
"""Pieces of a mixed lane that show what it carries."""


class _Picture:
    """Draws from the top down; `y` is where the next thing goes."""

    def __init__(self, block: Block, design: RowDesign, numbers: Mapping[str, int]) -> None:
        self.block, self.design, self.numbers = block, design, numbers
        self.longest = max(design.row, design.make_up_row)
        self.lanes = block.rows[0].lanes
        self.y = 8.0
        self.marks: list[Mark] = []
        self.tails: list[tuple[float, float]] = []

    def draw(self) -> Sequence[Mark]:
        design, double = self.design, self.block.sides == "double"
        each = 2 if double else 1
        bands = -(-design.lanes // each)
        for band in range(min(bands, _BANDS)):
            pair = double and design.lanes - band * each > 1
            self._band(design.row, pair, f"{design.row}")
        left = design.lanes - min(bands, _BANDS) * each
        if left > 0:
            rows, like = "rows" if left > 1 else "row", "these" if double else "this"
            words = f"and {left} more {rows} like {like}"
            self.marks.append(Text((_LEFT, self.y + 4), words, 9, "small", "words", anchor="start"))
            self.y += 14
        if design.make_up:
            self._make_up()
        self.marks.append(
            Text((_LEFT, self.y + 5), self._words(), 10, "strong", "words", anchor="start")
        )
        self.y += 14
        return sorted(self.marks, key=lambda mark: mark.ink if mark.group == "lanes" else "")

    def _words(self) -> str:
        design = self.design
        words = f"{design.lanes} x {design.row} = {design.lanes * design.row}"
        if design.make_up:
            make_up = f"{design.make_up} x {design.make_up_row} make-up"
            words = f"{design.lanes} x {design.row} + {make_up}"
        return f"{words} stations"

    def _band(self, stations: int, pair: bool, count: str) -> None:
        """One output with the row above it and, in a pair, the row below it."""
        length = _LENGTH * stations / self.longest
        self._lanes(length, above=True)
        self._boxes(stations, length, count)
        self._output(length)
        if pair:
            self._boxes(stations, length, count)
            self._lanes(length, above=False)
        self.y += 7

    def _make_up(self) -> None:
        """The row that lives on what the others leave over: their lanes run into its own."""
        design = self.design
        length = _LENGTH * design.make_up_row / self.longest
        level = self.y + 1
        start = (_LEFT - 8, level)
        for x, y in self.tails[:1]:
            edge = max(x, _LEFT + length) + 10
            around = ((x, y), (edge, y), (edge, level - 4), (start[0], level - 4), start)
            self.marks.append(Line(around, "soft-line", "belts", "left over"))
        self._lanes(length, above=True, fed=False)
        self._boxes(design.make_up_row, length, f"{design.make_up_row}", "busy")
        self._output(length)
        self.y += 7

    def _lanes(self, length: float, above: bool, fed: bool = True) -> None:
        """What feeds a row; a mixed lane shows its materials in turn."""
        loop = self.block.architecture == "loop"
        lanes = self.lanes if above else tuple(reversed(self.lanes))
        if loop and above:
            self.y += _RETURN
        for lane in lanes:
            if fed:
                arrow = (_LEFT - 10, self.y + _LANE / 2)
                self.marks.append(Symbol(arrow, "arrow", 7, "solid", "belts", "entries"))
            self.marks += _strip(lane, self.numbers, self.y, length)
            if not loop and len(lane.materials) > 1 and fed:
                self.tails.append((_LEFT + length, self.y + _LANE / 2))
            if loop:
                middle = self.y + _LANE / 2
                back = middle - _RETURN - 1 if above else middle + _RETURN + 1
                end = _LEFT + length
                around = ((end, middle), (end + 8, middle), (end + 8, back), (_LEFT - 4, back),
                          (_LEFT - 4, middle), (_LEFT, middle))  # fmt: skip
                self.marks.append(Line(around, "key-line", "belts", "returns"))
                at = (_LEFT + length / 2, back)
                self.marks.append(Symbol(at, "arrow", 6, "solid", "belts", "returns", angle=180))
            self.y += _LANE + 1
        self.y += _GAP - 1
        if loop and not above:
            self.y += _RETURN

    def _boxes(self, stations: int, length: float, count: str, ink: str = "station") -> None:
        shown = min(stations, _MOST_BOXES)
        step = length / shown
        for number in range(shown):
            box = rectangle(_LEFT + number * step + 0.3, self.y, step - 0.6, _BOX)
            self.marks.append(Area(box, ink, "stations"))
        at = (_LEFT + length + 13, self.y + _BOX / 2)
        self.marks.append(Text(at, count, 9, "words", "words", anchor="start"))
        self.y += _BOX + _GAP

    def _output(self, length: float) -> None:
        middle = self.y + _OUT / 2
        end = _LEFT + _LENGTH + 34
        self.marks.append(Line(((_LEFT, middle), (end, middle)), "curve", "belts", "outputs"))
        ink = f"swatch{self.numbers.get(self.block.product, 1)}"
        box = rectangle(end, middle - 3.5, 9, 7)
        self.marks.append(Area(box, ink, "belts", "outputs", tooltip=self.block.product))
        self.marks.append(
            Symbol((_LEFT + length / 2, middle), "arrow", 8, "solid", "belts", "outputs")
        )
        self.y += _OUT + _GAP


def _strip(lane: Lane, numbers: Mapping[str, int], y: float, length: float) -> Iterator[Mark]:
    """A lane in pieces as long as the shares of its materials."""
    whole = sum(lane.carriers)
    if len(lane.materials) == 1:
        box = rectangle(_LEFT, y, length, _LANE)
        yield Area(box, f"swatch{numbers[lane.materials[0]]}", "belts", "lanes")
        return
    turn = length / (_TURNS / len(lane.materials))
    x = _LEFT
    pairs = cycle(zip(lane.materials, lane.carriers, strict=True))
    for material, carriers in islice(pairs, _TURNS):
        piece = min(turn * float(carriers / whole), _LEFT + length - x)
        if piece > 0:
            box = rectangle(x, y, piece, _LANE)
            yield Area(box, f"swatch{numbers[material]}", "belts", "lanes")
        x += piece


def row_picture(
    block: Block,
    design: RowDesign,
    numbers: Mapping[str, int],
    *,
    theme: str = "light",
    prefix: str = "lw-rows",
) -> str:
    """A row design of `block` as a small SVG; `numbers` are the marks of the materials."""
    picture = _Picture(block, design, numbers)
    found = tuple(picture.draw())
    title = f"{block.architecture}, {block.sides}: {design.lanes} rows of {design.row}"
    paper = Area(rectangle(0, 0, _WIDTH, picture.y), "paper", "paper")
    size = (_WIDTH, picture.y)
    sheet = Sheet(title, 0, 0, _WIDTH, picture.y, size, "px", theme, (paper, *found))
    return sheet_svg(sheet, prefix=prefix)
