"""The text of a file as a tree of nodes that know where they stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from loopwright.finding import Place


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a file; line and column count from 1."""

    file: str
    line: int
    column: int

    def place(self, path: str | None = None) -> Place:
        """The spot as findings want it."""
        return Place(file=self.file, line=self.line, column=self.column, path=path or None)


@dataclass(slots=True)
class Scalar:
    """One value. `text` is exactly what is written; None where nothing (or null, ~) is.

    A `faulty` node has its finding already, so that nothing more is to be said about it.
    """

    spot: Spot
    text: str | None
    faulty: bool = False

    @property
    def size(self) -> int:
        """Nodes in it."""
        return 1

    def plain(self) -> str | None:
        """The value for validation."""
        return self.text


@dataclass(slots=True)
class Items:
    """A list."""

    spot: Spot
    items: list[Scalar | Items | Mapping] = field(default_factory=list)
    size: int = 1
    faulty: bool = False

    def plain(self) -> list[object]:
        """The value for validation."""
        return [node.plain() for node in self.items]


@dataclass(slots=True)
class Mapping:
    """Keys and values; `keys` holds where each key stands."""

    spot: Spot
    entries: dict[str, Scalar | Items | Mapping] = field(default_factory=dict)
    keys: dict[str, Spot] = field(default_factory=dict)
    size: int = 1
    faulty: bool = False

    def plain(self) -> dict[str, object]:
        """The value for validation."""
        return {key: node.plain() for key, node in self.entries.items()}


Tree = Scalar | Items | Mapping
Step = str | int


def child(node: Tree, step: Step) -> Tree | None:
    """What stands under the key or the list index (from 0) `step`; None where nothing does."""
    if isinstance(node, Mapping) and isinstance(step, str):
        return node.entries.get(step)
    if isinstance(node, Items) and isinstance(step, int) and 0 <= step < len(node.items):
        return node.items[step]
    return None


def walk(root: Tree, path: Sequence[Step]) -> Iterator[Tree]:
    """Nodes along `path`, the root first, as far as the tree goes."""
    node: Tree | None = root
    for step in (*path, None):
        if node is None:
            return
        yield node
        node = None if step is None else child(node, step)


def value_spot(root: Tree, path: Sequence[Step]) -> Spot:
    """Where the value at `path` stands, or the nearest thing around it."""
    return list(walk(root, path))[-1].spot


def key_spot(root: Tree, path: Sequence[Step]) -> Spot:
    """Where the key that ends `path` stands; the value where it is an item of a list."""
    nodes = list(walk(root, path[:-1]))
    holder = nodes[-1]
    if path and len(nodes) == len(path) and isinstance(holder, Mapping):
        return holder.keys.get(str(path[-1]), holder.spot)
    return value_spot(root, path)


def nearest_spot(root: Tree, path: Sequence[Step]) -> Spot:
    """Where the value at `path` stands if it is a single one, else its key, or the nearest."""
    nodes = list(walk(root, path))
    if isinstance(nodes[-1], Scalar):
        return nodes[-1].spot
    return key_spot(root, path[: len(nodes) - 1])
