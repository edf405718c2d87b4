"""A forgiving view of a project's tree: what is missing or misshapen reads as nothing.

Checks across fields look through it, so that they run even where single fields are wrong.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from pydantic_core import PydanticCustomError

from loopwright.finding import Place
from loopwright.model.fault import path_text
from loopwright.model.field import Quantity, Whole
from loopwright.model.source import (
    Items,
    Mapping,
    Scalar,
    Step,
    Tree,
    key_spot,
    value_spot,
    walk,
)


@dataclass(frozen=True, slots=True)
class Outline:
    """The view; a path is a run of keys and of list indices from 0."""

    tree: Mapping

    def node(self, *path: Step) -> Tree | None:
        """The node at `path`."""
        nodes = list(walk(self.tree, path))
        faulty = any(node.faulty for node in nodes)
        return nodes[-1] if len(nodes) == len(path) + 1 and not faulty else None

    def keys(self, *path: Step) -> tuple[str, ...]:
        """Keys of the mapping at `path`."""
        node = self.node(*path)
        return tuple(node.entries) if isinstance(node, Mapping) else ()

    def count(self, *path: Step) -> int:
        """Length of the list at `path`."""
        node = self.node(*path)
        return len(node.items) if isinstance(node, Items) else 0

    def text(self, *path: Step) -> str | None:
        """The one value at `path`, as it is written."""
        node = self.node(*path)
        return node.text if isinstance(node, Scalar) else None

    def whole(self, default: int, *path: Step) -> int | None:
        """The whole number at `path`; `default` where there is none, None where it is faulty."""
        node = self.node(*path)
        if node is None:
            return default
        try:
            number = Whole(-(10**15), 10**15).read(node.plain())
        except PydanticCustomError:
            return None
        return number if isinstance(number, int) else None

    def span(self, default: Fraction, *path: Step) -> Fraction | None:
        """The time [s] at `path`; `default` where there is none, None where it is faulty."""
        node = self.node(*path)
        if node is None:
            return default
        try:
            number = Quantity("s").read(node.plain())
        except PydanticCustomError:
            return None
        return number if isinstance(number, Fraction) else None

    def rate(self, *path: Step) -> Fraction | None:
        """The rate [units/s] at `path`; None where there is none, or a faulty one."""
        node = self.node(*path)
        try:
            number = Quantity("units/s", none=True).read(node.plain() if node else None)
        except PydanticCustomError:
            return None
        return number if isinstance(number, Fraction) else None

    def place(self, *path: Step) -> Place:
        """Where the value at `path` stands."""
        return value_spot(self.tree, path).place(path_text(path))

    def key_place(self, *path: Step) -> Place:
        """Where the last key of `path` stands."""
        return key_spot(self.tree, path).place(path_text(path))
