"""A layout from a YAML file, with every fault as a finding at its line and column."""

from __future__ import annotations

from dataclasses import MISSING, fields, is_dataclass
from fractions import Fraction
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.grid import Box, Cell, Heading
from loopwright.layout.check import all_devices
from loopwright.layout.layout import Layout, Port
from loopwright.layout.move import Step, moved_layout, row_corners
from loopwright.layout.notation import NotationError, parse_box, parse_cell, parse_path, parse_port
from loopwright.layout.write import FORMAT
from loopwright.model.load import load_text
from loopwright.model.near import listed, nearest
from loopwright.model.parse import parse_text
from loopwright.model.source import Items, Mapping, Scalar, Tree

MOST_BYTES = 50_000_000
MOST_NODES = 2_000_000

HEADER = ("kind", "version", "origin")

MOVES = "moves"
"""The key under which rows and devices are moved by so many cells."""


def read_layout(path: Path) -> tuple[Layout | None, tuple[Finding, ...]]:
    """The layout in the file `path`; None where it has faults, which the findings tell."""
    text, findings = load_text(path, str(path), MOST_BYTES)
    if text is None:
        return None, findings
    return layout_from_yaml(text, str(path))


def layout_from_yaml(text: str, file: str) -> tuple[Layout | None, tuple[Finding, ...]]:
    """The layout that `layout_yaml` wrote; `file` is its name in findings."""
    tree, told = parse_text(text, file, MOST_NODES)
    findings = list(told)
    if not isinstance(tree, Mapping):
        if not findings:
            findings.append(new_finding("LW109", "no layout stands here", Place(file=file)))
        return None, tuple(findings)
    _check_head(tree, findings)
    body = Mapping(
        tree.spot,
        {key: node for key, node in tree.entries.items() if key not in (*HEADER, MOVES)},
        {key: spot for key, spot in tree.keys.items() if key not in (*HEADER, MOVES)},
    )
    reader = _Reader(findings)
    layout = reader.record(body, Layout)
    if not isinstance(layout, Layout):
        return None, tuple(findings)
    rows, devices = reader.moves(tree.entries.get(MOVES), layout)
    if findings:
        return None, tuple(findings)
    try:
        return moved_layout(layout, rows, devices) if rows or devices else layout, ()
    except DesignError as error:
        return None, error.findings


def _check_head(tree: Mapping, findings: list[Finding]) -> None:
    for key, wanted in (("kind", "layout"), ("version", str(FORMAT))):
        node = tree.entries.get(key)
        found = node.text if isinstance(node, Scalar) else None
        if found != wanted:
            place = (node.spot if node else tree.spot).place(key)
            message = f"this is not a layout file: {key} is {found!r}"
            remedy = "write one with `loopwright layout FILE --yaml PATH`"
            findings.append(
                new_finding("LW113", message, place, value=found, allowed=wanted, remedy=remedy)
            )


_HINTS: dict[Any, dict[str, Any]] = {}


def _hints(kind: Any) -> dict[str, Any]:
    if kind not in _HINTS:
        _HINTS[kind] = get_type_hints(kind)
    return _HINTS[kind]


class _Reader:
    """Nodes to values, as the annotations of the layout's classes say."""

    def __init__(self, findings: list[Finding]) -> None:
        self.findings = findings

    def record(self, node: Tree, kind: type[Any]) -> Any:
        """A frozen noun from a mapping; None where something is wrong with it."""
        if not isinstance(node, Mapping):
            self._wrong(node, "entries, each `key: value`")
            return None
        known = {field.name: field for field in fields(kind)}
        values: dict[str, Any] = {}
        for key, entry in node.entries.items():
            if key in known:
                values[key] = self.value(entry, _hints(kind)[key])
                continue
            near = nearest(key, list(known))
            remedy = f"did you mean {near!r}?" if near else None
            place = node.keys[key].place(key)
            message = f"the key {key[:40]!r} is not known here"
            allowed = listed(list(known))
            self.findings.append(
                new_finding("LW111", message, place, value=key, allowed=allowed, remedy=remedy)
            )
        missing = [
            name for name, field in known.items() if name not in values and field.default is MISSING
        ]
        for name in missing:
            message = f"the key {name!r} is missing here"
            self.findings.append(new_finding("LW112", message, node.spot.place()))
        if missing or any(
            value is None and not _may_be_none(kind, k) for k, value in values.items()
        ):
            return None
        return kind(**values)

    def moves(self, node: Tree | None, layout: Layout) -> tuple[dict[str, Step], dict[str, Step]]:
        """Steps of rows and of single devices, by name."""
        rows: dict[str, Step] = {}
        devices: dict[str, Step] = {}
        if node is None:
            return rows, devices
        if not isinstance(node, Mapping):
            self._wrong(node, "entries, each `NAME: east,south`")
            return rows, devices
        corners, names = row_corners(layout), set(all_devices(layout))
        for name, entry in node.entries.items():
            step = self._scalar(entry, Cell)
            if name not in corners and name not in names:
                near = nearest(name, [*corners, *sorted(names)])
                remedy = f"did you mean {near!r}?" if near else None
                place, message = node.keys[name].place(), f"there is no row or device {name[:60]!r}"
                self.findings.append(
                    new_finding("LW432", message, place, value=name, remedy=remedy)
                )
            elif step is not None:
                (rows if name in corners else devices)[name] = (step.x, step.y)
        return rows, devices

    def value(self, node: Tree, hint: Any) -> Any:
        """A value of the annotated type; None where it is not one, which is told."""
        if get_origin(hint) is UnionType:
            hint = next(kind for kind in get_args(hint) if kind is not NoneType)
        if get_origin(hint) is tuple:
            return self._tuple(node, get_args(hint)[0])
        if is_dataclass(hint) and hint is not Port:
            return self.record(node, hint)  # type: ignore[arg-type]
        return self._scalar(node, hint)

    def _tuple(self, node: Tree, inner: Any) -> tuple[Any, ...] | None:
        if inner is Cell and isinstance(node, Scalar):
            path = self._scalar(node, tuple)
            return path if isinstance(path, tuple) else None
        if inner is Cell and isinstance(node, Items) and not node.items:
            return ()
        if isinstance(node, Items):
            if get_origin(inner) is tuple and node.items:
                self._wrong(node, "entries, each `name: value`")
                return None
            return self._all([self.value(item, inner) for item in node.items])
        if get_origin(inner) is tuple and isinstance(node, Mapping):
            kind = get_args(inner)[1]
            values = self._all([self.value(entry, kind) for entry in node.entries.values()])
            return None if values is None else tuple(zip(node.entries, values, strict=True))
        self._wrong(node, "a list")
        return None

    @staticmethod
    def _all(values: list[Any]) -> tuple[Any, ...] | None:
        return None if any(value is None for value in values) else tuple(values)

    def _scalar(self, node: Tree, kind: Any) -> Any:
        if not isinstance(node, Scalar) or node.text is None:
            self._wrong(node, "one value")
            return None
        try:
            return _READERS[kind](node.text)
        except NotationError as error:
            self._wrong(node, str(error))
        except (ValueError, ZeroDivisionError):
            self._wrong(node, _FORMS[kind])
        return None

    def _wrong(self, node: Tree, allowed: str) -> None:
        shown = node.text if isinstance(node, Scalar) else None
        message = f"{(shown or 'this')[:60]!r} cannot be read here"
        place = node.spot.place()
        self.findings.append(new_finding("LW110", message, place, value=shown, allowed=allowed))


def _whole(text: str) -> int:
    if len(text) > 12:
        raise ValueError
    return int(text)


def _fraction(text: str) -> Fraction:
    if len(text) > 60:
        raise ValueError
    return Fraction(text)


_READERS: dict[Any, Any] = {
    str: str,
    int: _whole,
    Fraction: _fraction,
    Heading: Heading,
    Cell: parse_cell,
    Box: parse_box,
    Port: parse_port,
    tuple: parse_path,
}
_FORMS = {
    int: "a whole number",
    Fraction: "a number such as 3 or 16/3",
    Heading: "east, south, west or north",
}


def _may_be_none(kind: type[Any], name: str) -> bool:
    return NoneType in get_args(_hints(kind)[name])
