"""A project file as a form: every entry of the model, with what is written and what would hold."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from loopwright.exact import UNITS
from loopwright.model.field import Quantity, Whole, Written
from loopwright.model.page import default_text
from loopwright.model.parse import parse_text
from loopwright.model.project import Project
from loopwright.model.source import Items, Mapping, Scalar, Step, Tree, child, key_spot
from loopwright.studio.message import Form, FormField, Kind, findings

_KEYS = {
    "a key of materials": (("materials",),),
    "a key of equipment.stations": (("equipment", "stations"),),
    "keys of processes": (("processes",),),
}
"""Where the words of a description say that names come from."""

_CHOICES = {
    "process": (("processes",), ("auto",)),
    "belt": (("equipment", "belts"), ("auto",)),
    "output_belt": (("equipment", "belts"), ("auto",)),
    "collector_belt": (("equipment", "belts"), ("auto",)),
    "picker": (("equipment", "pickers"), ("auto",)),
    "output_picker": (("equipment", "pickers"), ("auto",)),
    "power_node": (("equipment", "power_nodes"), ("auto", "none")),
    "maximise": (("demand",), ("none",)),
}
"""Choices among names: where these stand, and the words that may be there instead."""


def project_form(text: str, file: str) -> Form:
    """The form of the project file `text`; what does not read as YAML gives an empty one."""
    tree, found = parse_text(text, file)
    if not isinstance(tree, Mapping):
        return Form(fields=(), findings=findings(found))
    return Form(fields=tuple(_Form(tree).section((), Project, tree)), findings=findings(found))


class _Form:
    """Walks model and tree together."""

    def __init__(self, tree: Mapping) -> None:
        self.tree = tree

    def section(
        self, path: tuple[Step, ...], model: type[BaseModel], node: Tree | None
    ) -> Iterator[FormField]:
        """All entries of a section, in the order of the model."""
        for name, field in model.model_fields.items():
            key = field.alias or name
            inner = child(node, key) if node is not None else None
            yield from self._entry((*path, key), field, inner)

    def _entry(
        self, path: tuple[Step, ...], field: FieldInfo, node: Tree | None
    ) -> Iterator[FormField]:
        kind = field.annotation
        text = field.description or ""
        default = default_text(field) or None
        made = {"help": text, "default": default, "required": field.is_required()}
        if get_origin(kind) is dict:
            yield self._field(path, "map", node, **made, allowed=self._names(path, text))
            yield from self._entries(path, get_args(kind)[1], node)
        elif get_origin(kind) is tuple:
            yield self._field(path, "list", node, **made)
            yield from self._items(path, get_args(kind)[0], field, node)
        elif isinstance(kind, type) and issubclass(kind, BaseModel):
            yield self._field(path, "map", node, **made)
            yield from self.section(path, kind, node)
        else:
            yield self._single(path, kind, field.metadata, node, **made)

    def _entries(self, path: tuple[Step, ...], kind: Any, node: Tree | None) -> Iterator[FormField]:
        """Named entries; only those that are there."""
        if not isinstance(node, Mapping):
            return
        for key, inner in node.entries.items():
            if isinstance(kind, type) and issubclass(kind, BaseModel):
                about = _first_line(kind)
                yield self._field((*path, key), "map", inner, help=about, required=True)
                yield from self.section((*path, key), kind, inner)
            else:
                rules = getattr(kind, "__metadata__", ())
                yield self._single((*path, key), kind, rules, inner, required=True)

    def _items(
        self, path: tuple[Step, ...], kind: Any, field: FieldInfo, node: Tree | None
    ) -> Iterator[FormField]:
        if not isinstance(node, Items):
            return
        for index, inner in enumerate(node.items):
            if isinstance(kind, type) and issubclass(kind, BaseModel):
                about = _first_line(kind)
                yield self._field((*path, index), "map", inner, help=about, required=True)
                yield from self.section((*path, index), kind, inner)
            else:
                rules = getattr(kind, "__metadata__", ())
                said = field.description or ""
                yield self._single((*path, index), kind, rules, inner, help=said, required=True)

    def _single(
        self, path: tuple[Step, ...], kind: Any, rules: Any, node: Tree | None, **made: Any
    ) -> FormField:
        """One value: a word out of several, a quantity, or a text."""
        rule = next((r for r in rules if isinstance(r, (Quantity, Whole, Written))), None)
        if isinstance(rule, Quantity):
            made |= {"unit": UNITS[rule.unit].base or None, "range": rule.range_text}
            return self._field(path, "quantity", node, **made, allowed=_words(rule.word))
        if isinstance(rule, Whole):
            made |= {"unit": rule.unit or None, "range": rule.range_text}
            return self._field(path, "quantity", node, **made, allowed=_words(rule.word))
        if get_origin(kind) is Literal:
            return self._field(path, "choice", node, **made, allowed=get_args(kind))
        names = self._names(path, made.get("help", ""))
        if names:
            return self._field(path, "choice", node, **made, allowed=names)
        said = rule.allowed if rule is not None else ""
        return self._field(path, "text", node, **made, range=said)

    def _names(self, path: tuple[Step, ...], said: str) -> tuple[str, ...]:
        """Names of the file that may stand here."""
        if path[0] == "choices" and len(path) == 2 and path[1] in _CHOICES:
            place, words = _CHOICES[str(path[1])]
            return (*words, *self._keys(place))
        if path[0] == "demand" or path[-1] in ("inputs", "outputs", "caps", "quotas"):
            return self._keys(("materials",))
        found = [place for words, places in _KEYS.items() if words in said for place in places]
        return tuple(name for place in found for name in self._keys(place))

    def _keys(self, path: tuple[str, ...]) -> tuple[str, ...]:
        node: Tree | None = self.tree
        for step in path:
            node = child(node, step) if node is not None else None
        return tuple(node.entries) if isinstance(node, Mapping) else ()

    def _field(
        self, path: tuple[Step, ...], kind: Kind, node: Tree | None, **made: Any
    ) -> FormField:
        filled: dict[str, Any] = {
            "help": "", "unit": None, "allowed": (), "range": "", "default": None,
            "required": False,
        }  # fmt: skip
        return FormField(
            path=path,
            title=str(path[-1]).replace("_", " "),
            kind=kind,
            value=node.text if isinstance(node, Scalar) else None,
            line=key_spot(self.tree, path).line if node is not None else None,
            given=node is not None,
            **filled | made,
        )


def _first_line(model: type[BaseModel]) -> str:
    return (model.__doc__ or "").strip().split("\n")[0]


def _words(word: str | None) -> tuple[str, ...]:
    return (word,) if word else ()
