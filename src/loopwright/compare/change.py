"""A change to a project: which keys get which values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Any

from pydantic import BaseModel

from loopwright.model import Project
from loopwright.model.edit import EditError, set_entry
from loopwright.model.parse import parse_text
from loopwright.model.source import walk

Value = str | int | Fraction

MAPS = ("quotas", "caps")
"""Entries that hold a number for each material; their edits are told together."""


@dataclass(frozen=True, slots=True)
class Edit:
    """The key at `path`, as it is nested in the file, gets `value`."""

    path: tuple[str, ...]
    value: Value

    def __str__(self) -> str:
        return f"{'.'.join(self.path)}: {self.value}"


@dataclass(frozen=True, slots=True)
class Change:
    """Edits that are made together; none for the project as it stands."""

    edits: tuple[Edit, ...] = ()

    def __str__(self) -> str:
        told = []
        for holder, group in groupby(self.edits, key=lambda edit: edit.path[:-1]):
            edits = list(group)
            if holder[-1] in MAPS:
                inner = ", ".join(f"{edit.path[-1]}: {edit.value}" for edit in edits)
                told.append(f"{'.'.join(holder)}: {{{inner}}}")
            else:
                told += map(str, edits)
        return ", ".join(told) or "as it is"

    def __add__(self, other: Change) -> Change:
        return Change((*self.edits, *other.edits))


def changed(project: Project, change: Change) -> Project:
    """`project` with all edits of `change` made; the values have to be such as the model takes."""
    for edit in change.edits:
        project = _set(project, edit.path, edit.value)
    return project


def changed_text(text: str, change: Change) -> str:
    """The project file `text` with all edits of `change` made; everything else stays.

    Raises
    ------
    EditError
        An edit is of something that stands in another file, or cannot be made in the text.
    """
    for edit in change.edits:
        tree, _ = parse_text(text, "project")
        holder = edit.path[: -2 if edit.path[-2] in MAPS else -1]
        there = tree is not None and len(list(walk(tree, holder))) > len(holder)
        if not there and holder != ("choices",):
            where = ".".join(holder)
            raise EditError(f"{edit}: {where} does not stand here; change it where it does.")
        text = set_entry(text, edit.path, str(edit.value))
    return text


def _set(noun: Any, path: tuple[str, ...], value: Value) -> Any:
    name, *rest = path
    if isinstance(noun, BaseModel):
        inner = _set(getattr(noun, name), tuple(rest), value) if rest else value
        return noun.model_copy(update={name: inner})
    assert isinstance(noun, Mapping)
    return {**noun, name: _set(noun[name], tuple(rest), value) if rest else value}
