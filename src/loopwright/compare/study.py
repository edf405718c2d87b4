"""What is compared: designs, each a project of its own with a letter and a name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, product
from pathlib import Path
from string import ascii_uppercase

from loopwright.block import list_blocks, size_block
from loopwright.compare.change import Change, Edit, changed, changed_text
from loopwright.finding import DesignError
from loopwright.model import Project, check_text
from loopwright.plan import solve_plan

MOST = 200
"""Designs that one study may hold."""


AS_IT_IS = Change()


@dataclass(frozen=True, slots=True)
class Variant:
    """One design of a study: what is told of it, its project, the change that led to it, and its
    letter once it is in a study."""

    told: str
    project: Project
    change: Change = AS_IT_IS
    letter: str = ""


@dataclass(frozen=True, slots=True)
class Axis:
    """Something that varies: the key at `path`, and the values that it takes in turn."""

    path: tuple[str, ...]
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Study:
    """Designs to be compared; the first is the one that the others are held to."""

    variants: tuple[Variant, ...]


def read_axis(text: str) -> Axis:
    """`KEY=A,B` as the key and its values; a bare key is one of `choices`.

    Raises
    ------
    ValueError
        It is nothing of that kind.
    """
    key, sign, values = text.partition("=")
    path = tuple(part.strip() for part in key.split("."))
    listed = tuple(dict.fromkeys(value.strip() for value in values.split(",")))
    if not sign or not all(path) or not all(listed):
        raise ValueError(f"{text!r}: KEY=A,B is wanted, such as row=24,36")
    return Axis(path if len(path) > 1 else ("choices", *path), listed)


def study_of(variants: Iterable[Variant]) -> Study:
    """The study of `variants`, in their order, with the letters A to Z, then AA, AB and so on."""
    letters = chain(ascii_uppercase, map("".join, product(ascii_uppercase, repeat=2)))
    return Study(
        tuple(replace(one, letter=letter) for letter, one in zip(letters, variants, strict=False))
    )


def usual_variants(project: Project) -> Iterator[Variant]:
    """`project` as it is, then with every other architecture and arrangement of sides that its plan
    allows, as the block stage lists them.

    Raises
    ------
    DesignError
        There is no plan, or no block for it.
    """
    plan = solve_plan(project)
    own = size_block(plan, project)
    yield _variant(AS_IT_IS, project)
    for block in list_blocks(plan, project):
        if (block.architecture, block.sides) != (own.architecture, own.sides):
            found = {"architecture": block.architecture, "sides": block.sides}
            change = Change(tuple(Edit(("choices", key), value) for key, value in found.items()))
            yield _variant(change, changed(project, change))


def varied(
    text: str, axes: Sequence[Axis], file: str = "project", folder: Path | None = None
) -> Iterator[Variant]:
    """The project file `text` with every combination of values on `axes`, the last of which varies
    fastest; the project alone without axes.

    `file` is its name in findings, `folder` where a catalogue that it uses may lie.

    Raises
    ------
    EditError
        A key cannot be set in this file.
    DesignError
        What comes out is no project; its findings say why.
    """
    for values in product(*(axis.values for axis in axes)):
        paths = (axis.path for axis in axes)
        change = Change(tuple(Edit(path, value) for path, value in zip(paths, values, strict=True)))
        name = f"{file} with {change}" if change.edits else file
        project, findings = check_text(changed_text(text, change), name, folder)
        if project is None:
            raise DesignError(findings)
        yield _variant(change, project)


def _variant(change: Change, project: Project) -> Variant:
    """Choices go by their bare names."""
    edits = (f"{'.'.join(_bare(edit.path))}: {edit.value}" for edit in change.edits)
    return Variant(", ".join(edits) or str(change), project, change)


def _bare(path: tuple[str, ...]) -> tuple[str, ...]:
    return path[1:] if path[0] == "choices" else path
