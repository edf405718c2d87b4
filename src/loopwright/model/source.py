"""The text of a file as a tree of nodes that know where they stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from loopwright.finding import Place

Node = "Scalar | Mapping | Items"


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
    """One value. `text` is exactly what is written; None where nothing (or null, ~) is."""

    spot: Spot
    text: str | None

    size = 1

    def plain(self) -> str | None:
        """The value for validation."""
        return self.text


@dataclass(slots=True)
class Items:
    """A list."""

    spot: Spot
    items: list[Scalar | Items | Mapping] = field(default_factory=list)
    size: int = 1

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

    def plain(self) -> dict[str, object]:
        """The value for validation."""
        return {key: node.plain() for key, node in self.entries.items()}


def walk(root: Scalar | Items | Mapping, path: Sequence[str | int]) -> Iterator[Spot]:
    """Spots along `path`, from the root on, as far as the tree goes: the last is the nearest.

    The spot of each step is that of its value.
    """
    node = root
    yield node.spot
    for step in path:
        if isinstance(node, Mapping) and step in node.entries:
            node = node.entries[str(step)]
        elif isinstance(node, Items) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        else:
            return
        yield node.spot


def value_spot(root: Scalar | Items | Mapping, path: Sequence[str | int]) -> Spot:
    """Where the value at `path` stands, or the nearest thing around it."""
    return list(walk(root, path))[-1]


def key_spot(root: Scalar | Items | Mapping, path: Sequence[str | int]) -> Spot:
    """Where the key that ends `path` stands; the value where it is an item of a list."""
    node = root
    for step in path[:-1]:
        if isinstance(node, Mapping) and step in node.entries:
            node = node.entries[str(step)]
        elif isinstance(node, Items) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        else:
            return value_spot(root, path)
    if path and isinstance(node, Mapping) and path[-1] in node.keys:
        return node.keys[str(path[-1])]
    return value_spot(root, path)
