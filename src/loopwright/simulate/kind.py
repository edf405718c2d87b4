"""What the cells and hands of the engine tell apart: materials by mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple


class Kind(NamedTuple):
    """A material with a mark, 0 if it has none. The engine numbers kinds, not materials."""

    material: str
    mark: int = 0


def first_kinds(kinds: Iterable[Kind]) -> dict[str, Kind]:
    """Of each material the kind of lowest mark; `kinds` are in order of marks."""
    found: dict[str, Kind] = {}
    for kind in kinds:
        found.setdefault(kind.material, kind)
    return found


def units_by_kind(
    units: Mapping[str, int], marked: Mapping[str, tuple[int, ...]]
) -> dict[Kind, int]:
    """Units of each kind of which there are any, from all units of each material and the units of
    mark 1, 2 and so on."""
    found = {}
    for material, count in units.items():
        above = marked.get(material, ())
        for mark, part in enumerate((count - sum(above), *above)):
            if part:
                found[Kind(material, mark)] = part
    return found


def units_in_all(
    found: Mapping[Kind, int],
) -> tuple[dict[str, int], dict[str, tuple[int, ...]]]:
    """The two arguments of `units_by_kind` again; `found` is in order of marks."""
    units: dict[str, int] = {}
    above: dict[str, list[int]] = {}
    for kind, count in found.items():
        units[kind.material] = units.get(kind.material, 0) + count
        if kind.mark:
            marks = above.setdefault(kind.material, [])
            marks += [0] * (kind.mark - len(marks) - 1) + [count]
    return units, {material: tuple(marks) for material, marks in above.items()}
