"""Drawing of a mixer: lanes on the left, merges in columns, the mixed belt on the right."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from loopwright.block.mixer import Leaf, Mixer, Node
from loopwright.drawing.legend import cut
from loopwright.drawing.mark import Area, Line, Mark, Point, Symbol, Text, rectangle
from loopwright.drawing.sheet import Sheet
from loopwright.drawing.svg import sheet_svg

_COLUMN, _ROW, _LEFT, _TOP, _TAIL = 92.0, 34.0, 216.0, 78.0, 170.0
_LANE = 24.0
_MERGE = 24.0


def _depth(tree: Node | Leaf) -> int:
    return 0 if isinstance(tree, Leaf) else 1 + max(map(_depth, tree.inlets))


class _Chart:
    """Places leaves in rows and merges in columns."""

    def __init__(self, mixer: Mixer) -> None:
        self.mixer = mixer
        self.numbers = {name: number for number, (name, _) in enumerate(mixer.shares, 1)}
        self.depth = _depth(mixer.root)
        self.rows = len(mixer.leaves)
        self.width = max(520.0, _LEFT + _COLUMN * self.depth + _TAIL)
        self.foot = _TOP + _ROW * self.rows
        self.height = self.foot + (58 if mixer.feedback else 26)
        self.back: list[float] = []
        self.found: list[Mark] = []
        self.end = self._tree(mixer.root, Fraction(1), 0)

    def marks(self) -> Iterator[Mark]:
        """Lanes, merges, feedback and output."""
        yield from self.found
        end = self.end
        out = (self.width - 60, end[1])
        yield Line((end, out), "key-line", "belts")
        yield Symbol(out, "arrow", 9, "solid", "belts")
        rate = f"{self.mixer.net_rate} of a belt" if self.back else "a full belt"
        yield Text((out[0], out[1] - 14), rate, 11, "words", "belts", anchor="end")
        if self.back:
            yield from self._feedback((end[0] + 34, end[1]))

    def _tree(self, tree: Node | Leaf, weight: Fraction, row: int) -> Point:
        """Draws `tree` from `row` down; where its outlet begins."""
        if isinstance(tree, Leaf):
            at = (_LEFT - 24, _TOP + _ROW * (row + 0.5))
            self.found += self._leaf(tree, weight, at)
            return at
        ends, first = [], row
        for inlet in tree.inlets:
            ends.append(self._tree(inlet, weight / len(tree.inlets), row))
            row += _leaves(inlet)
        x = _LEFT + _COLUMN * (_depth(tree) - 0.5)
        y = _TOP + _ROW * (first + row) / 2
        for number, end in enumerate(ends):
            level = y + (number - (len(ends) - 1) / 2) * 7
            aside = number if end[1] > level else len(ends) - number  # so that none cross
            bend = x - _MERGE / 2 - 14 + 3 * aside
            points = (end, (bend, end[1]), (bend, level), (x - _MERGE / 2, level))
            self.found.append(Line(points, "key-line", "belts"))
        name = f"merge of {len(tree.inlets)}, {weight} of what the root passes"
        self.found.append(Symbol((x, y), "merge", _MERGE, "junction", "merges", tooltip=name))
        return (x + _MERGE / 2, y)

    def _leaf(self, leaf: Leaf, weight: Fraction, at: Point) -> Iterator[Mark]:
        x, y = at
        if leaf.material is None:
            self.back.append(y)
            yield Text((x - 22, y - 9), f"feedback {weight}", 11, "small", "lanes", anchor="end")
            yield Line(((_LANE, y), at), "key-line", "belts")
            return
        ink = f"swatch{self.numbers[leaf.material]}"
        yield Area(rectangle(x - 34, y - 7, 34, 14), ink, "lanes", tooltip=leaf.material)
        words = f"{cut(leaf.material, 12)} {weight}"
        yield Text((x - 40, y), words, 12, "strong", "lanes", anchor="end")

    def _feedback(self, start: Point) -> Iterator[Mark]:
        """From the output round the foot back to the feedback leaves."""
        level = self.foot + 18
        yield Symbol(start, "divert", 16, "junction", "merges", tooltip="feedback first")
        corner = (start[0], start[1] + 8)
        yield Line((corner, (start[0], level), (_LANE, level), (_LANE, min(self.back))), "key-line",
                   "belts")  # fmt: skip
        yield Symbol((_LEFT, level), "arrow", 9, "solid", "belts", angle=180)
        words = "feedback lane, filled before anything leaves"
        yield Text((_LEFT + 14, level + 14), words, 11, "small", "belts", anchor="start")


def _leaves(tree: Node | Leaf) -> int:
    return 1 if isinstance(tree, Leaf) else sum(map(_leaves, tree.inlets))


def mixer_chart(mixer: Mixer, *, theme: str = "light", prefix: str = "lw-mixer") -> str:
    """The tree of a mixer as SVG: each lane with its weight, merges by turns, and the feedback."""
    chart = _Chart(mixer)
    ratio = ", ".join(f"{cut(name, 12)} {share}" for name, share in mixer.shares)
    title = f"Mixer {ratio}"
    note = f"{mixer.devices} devices; weights are shares of what the last merge passes"
    marks: tuple[Mark, ...] = (
        Area(rectangle(0, 0, chart.width, chart.height), "paper", "paper"),
        *chart.marks(),
        Text((20, 24), title, 15, "strong", "title", anchor="start"),
        Text((20, 44), note, 12, "small", "title", anchor="start"),
    )
    size = (chart.width, chart.height)
    return sheet_svg(
        Sheet(title, 0, 0, chart.width, chart.height, size, "px", theme, marks, hatch=2),
        prefix=prefix,
    )
