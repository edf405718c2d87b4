"""What is compared: designs, each a project of its own with a letter and a name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from string import ascii_uppercase

from loopwright.block import list_blocks, size_block
from loopwright.compare.change import Change, Edit, changed, changed_text
from loopwright.finding import DesignError
from loopwright.model import Project, check_text
from loopwright.plan import solve_plan

MOST = 200
"""Designs that one study may hold."""


@dataclass(frozen=True, slots=True)
class Variant:
    """One design of a study: its `letter`, what is told of it, and its project."""

    letter: str
    told: str
    project: Project


@dataclass(frozen=True, slots=True)
class Axis:
    """Something that varies: the key at `path`, and the values that it takes in turn."""

    path: tuple[str, ...]
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Study:
    """Designs to be compared; the first is the one that the others are held to."""

    variants: tuple[Variant, ...]


def _letters() -> Iterator[str]:
    """A to Z, then AA, AB and so on."""
    for count in (1, 2):
        yield from map("".join, product(ascii_uppercase, repeat=count))


def usual_designs(project: Project) -> Iterator[tuple[str, Project]]:
    """`project` as it is, then with every other architecture and arrangement of sides that its plan
    allows, as the block stage lists them; each with what is told of it.

    Raises
    ------
    DesignError
        There is no plan, or no block for it.
    """
    plan = solve_plan(project)
    own = size_block(plan, project)
    yield _told(Change()), project
    for block in list_blocks(plan, project):
        if (block.architecture, block.sides) != (own.architecture, own.sides):
            found = {"architecture": block.architecture, "sides": block.sides}
            change = Change(tuple(Edit(("choices", key), value) for key, value in found.items()))
            yield _told(change), changed(project, change)


def varied(path: Path, axes: Sequence[Axis]) -> Iterator[tuple[str, Project]]:
    """The project file at `path` with every combination of values on `axes`, each with what is told
    of it; the last axis varies fastest. Without axes it is the project alone.

    Raises
    ------
    OSError, UnicodeDecodeError
        The file cannot be read.
    EditError
        A key cannot be set in this file.
    DesignError
        What comes out is no project; its findings say why.
    """
    text = path.read_bytes().decode("utf-8")
    for values in product(*(axis.values for axis in axes)):
        paths = (axis.path for axis in axes)
        change = Change(tuple(Edit(path, value) for path, value in zip(paths, values, strict=True)))
        file = f"{path} with {change}" if change.edits else str(path)
        project, findings = check_text(changed_text(text, change), file, path.parent)
        if project is None:
            raise DesignError(findings)
        yield _told(change), project


def study_of(designs: Iterable[tuple[str, Project]]) -> Study:
    """The study of `designs`, in their order, each with what is told of it."""
    return Study(
        tuple(
            Variant(letter, told, project)
            for letter, (told, project) in zip(_letters(), designs, strict=False)
        )
    )


def _told(change: Change) -> str:
    """What is told of a change; choices go by their bare names."""
    edits = (f"{'.'.join(_bare(edit.path))}: {edit.value}" for edit in change.edits)
    return ", ".join(edits) or str(change)


def _bare(path: tuple[str, ...]) -> tuple[str, ...]:
    return path[1:] if path[0] == "choices" else path
