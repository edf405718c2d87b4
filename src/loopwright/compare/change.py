"""A change to a project: which keys get which values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from loopwright.model import Project

Value = str | int


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
        return ", ".join(map(str, self.edits)) or "as it is"

    def __add__(self, other: Change) -> Change:
        return Change((*self.edits, *other.edits))


def changed(project: Project, change: Change) -> Project:
    """`project` with all edits of `change` made; the values have to be such as the model takes."""
    for edit in change.edits:
        project = _set(project, edit.path, edit.value)
    return project


def _set(noun: Any, path: tuple[str, ...], value: Value) -> Any:
    name, *rest = path
    if isinstance(noun, BaseModel):
        inner = _set(getattr(noun, name), tuple(rest), value) if rest else value
        return noun.model_copy(update={name: inner})
    assert isinstance(noun, Mapping)
    return {**noun, name: _set(noun[name], tuple(rest), value) if rest else value}
