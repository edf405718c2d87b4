"""The head of a row that a mixer feeds: a tree of merges, with a dock for each of its leaves.

Leaves lie side by side, a row of cells each; a merge stands two cells further on than the merges
before it, beside its first inlet of two or its middle one of three. So no belts cross.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from loopwright.block.mixer import Leaf, Mixer, Node, RatioError, design_mixer
from loopwright.finding import DesignError, new_finding
from loopwright.grid import Cell
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Merge, Source
from loopwright.layout.parts import Parts
from loopwright.layout.row import RowPlace, lane_depth
from loopwright.model import Project

LEAF_CELLS = 4
"""Length of the belt from a dock to the first merge that it can come to [cells]."""

GATE_CELLS = 2
"""What a loop's gate takes between the mixer and the lane [cells]."""

BEND_CELLS = 2
"""From the root's merge to the lane or gate [cells]."""


MIXER = "mixer"
"""The choice of a mixer for the fresh mix of a lane."""


def check_mix(project: Project) -> None:
    """Mixers have docks of their own, one a leaf, and hand on one belt.

    Raises
    ------
    DesignError
        LW436: a mixer is asked for together with something that it does not go with.
    """
    choices = project.choices
    if choices.mix != MIXER:
        return
    placed = any(dock.placed for dock in project.site.docks)
    placed = placed or any(deposit.placed for deposit in project.site.deposits)
    clash = {
        "supply: trunks": choices.supply == "trunks" or placed,
        "scope: site": choices.scope == "site",
    }
    for told, there in clash.items():
        if there:
            raise _clash(told)


def _clash(told: str) -> DesignError:
    return DesignError((new_finding("LW436", f"mix: mixer does not go with {told}"),))


def row_mixer(parts: Parts) -> Mixer:
    """The mixer of a row's inputs, with fewest devices.

    Raises
    ------
    DesignError
        LW436: there is none, it feeds some of its output back, or it has more leaves than rows of
        cells beside the lane.
    """
    try:
        mixer = design_mixer(dict(parts.shares))
    except RatioError as error:
        raise _not_placed(parts, str(error)) from None
    count, room = len(mixer.leaves), lane_depth(parts)
    if mixer.feedback:
        raise _not_placed(parts, "its mixer feeds some of its output back")
    if count > room:
        raise _not_placed(
            parts, f"its mixer has {count} leaves, beside a lane there are {room} rows"
        )
    return mixer


def _not_placed(parts: Parts, why: str) -> DesignError:
    ratio = ":".join(str(share) for _, share in parts.shares)
    return DesignError((new_finding("LW436", f"the mix {ratio} is not placed as a tree: {why}"),))


def mixer_cells(parts: Parts, *, loop: bool) -> int:
    """Cells west of a lane's first cell that its mixer takes, docks included."""
    return -_Tree(row_mixer(parts), loop).west


def draw_mixed_lane(draft: Draft, row: RowPlace, parts: Parts, lane: Belt) -> Belt:
    """The mixer of a pass: `lane` begins at the root's merge, and is drawn so."""
    tree = _Tree(row_mixer(parts), loop=False)
    whole = replace(lane, path=(*_bend(row, parts, tree), *lane.path))
    draft.add(whole)
    _Pen(draft, row, parts, tree).merge(tree.mixer.root, 0, tree.root, whole)
    return whole


def draw_mixed_supply(draft: Draft, row: RowPlace, parts: Parts) -> Belt:
    """The mixer of a loop: a belt with the mix that ends before the loop's gate.

    Raises
    ------
    DesignError
        LW436: the gate is not open, so what it keeps out would hold up the others on that belt; or
        as `row_mixer`.
    """
    if parts.gate != "open":
        raise _clash(f"gate: {parts.gate}")
    tree = _Tree(row_mixer(parts), loop=True)
    last = row.frame.cell(-GATE_CELLS, lane_depth(parts))
    path = (*_bend(row, parts, tree), last)
    belt = Belt(f"{row.name} supply", path, parts.lane_speed, "supply")
    draft.add(belt)
    _Pen(draft, row, parts, tree).merge(tree.mixer.root, 0, tree.root, belt)
    return belt


def _bend(row: RowPlace, parts: Parts, tree: _Tree) -> tuple[Cell, ...]:
    """From the root's merge to the cell beside the lane."""
    first, top = lane_depth(parts) - place_of(tree.mixer.root, 0), lane_depth(parts)
    along = row.frame.line(tree.root, tree.root + 1, first)
    return (*along, *(row.frame.cell(tree.root + 1, v) for v in range(first + 1, top + 1)))


@dataclass(frozen=True, slots=True)
class _Tree:
    """A mixer with the places along the row of its merges and docks."""

    mixer: Mixer
    loop: bool

    @property
    def root(self) -> int:
        """The `u` of the root's merge."""
        return -BEND_CELLS - (GATE_CELLS if self.loop else 0)

    @property
    def west(self) -> int:
        """The `u` of the docks."""
        return self.root - 2 * (_levels(self.mixer.root) - 1) - 1 - LEAF_CELLS


def _levels(tree: Node | Leaf) -> int:
    return 0 if isinstance(tree, Leaf) else 1 + max(map(_levels, tree.inlets))


def _leaves(tree: Node | Leaf) -> int:
    return 1 if isinstance(tree, Leaf) else sum(map(_leaves, tree.inlets))


def place_of(tree: Node | Leaf, first: int) -> int:
    """The row of cells of the outlet of `tree`, counted inwards from the lane's, if its first leaf
    lies at `first`."""
    if isinstance(tree, Leaf):
        return first
    beside = 1 if len(tree.inlets) > 2 else 0
    return place_of(tree.inlets[beside], firsts_of(tree, first)[beside])


def firsts_of(node: Node, first: int) -> list[int]:
    """Where the first leaf of each inlet lies."""
    found = []
    for inlet in node.inlets:
        found.append(first)
        first += _leaves(inlet)
    return found


@dataclass(slots=True)
class _Pen:
    """Draws one tree, from its root up."""

    draft: Draft
    row: RowPlace
    parts: Parts
    tree: _Tree
    docks: int = 0
    stems: int = 0

    def cell(self, u: int, place: int) -> Cell:
        """The cell at `u` in a row of cells beside the lane's."""
        return self.row.frame.cell(u, lane_depth(self.parts) - place)

    def merge(self, node: Node, first: int, u: int, outlet: Belt) -> None:
        """The merge of `node` at `u`, and all before it."""
        here = place_of(node, first)
        names = [
            self.inlet(inlet, begin, u, here)
            for inlet, begin in zip(node.inlets, firsts_of(node, first), strict=True)
        ]
        self.draft.add(
            Merge(f"{outlet.name} merge", outlet.path[0], tuple(names), outlet.name, "alternate")
        )

    def inlet(self, tree: Node | Leaf, first: int, u: int, here: int) -> str:
        """The belt from `tree` to the merge at `u` in the row `here`; its name."""
        at = place_of(tree, first)
        begin = self.tree.west + 1 if isinstance(tree, Leaf) else u - 2
        step = 1 if here > at else -1
        path = (
            *(self.cell(x, at) for x in range(begin, u + (at != here))),
            *(self.cell(u, place) for place in range(at + step, here, step)),
        )
        if isinstance(tree, Node):
            self.stems += 1
            stem = Belt(f"{self.row.name} mix {self.stems}", path, self.parts.lane_speed, "supply")
            self.draft.add(stem)
            self.merge(tree, first, u - 2, stem)
            return stem.name
        assert tree.material is not None
        self.docks += 1
        name = f"{self.row.name} leaf {self.docks} {tree.material}"
        self.draft.add(
            Belt(name, path, self.parts.lane_speed, "supply"),
            Source(
                f"{name} dock",
                self.cell(self.tree.west, at),
                name,
                tree.material,
                self.parts.loads[tree.material],
            ),
        )
        return name
