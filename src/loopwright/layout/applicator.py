"""Findings about applicators: whether they reach their belt, and can do what they are for."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.finding import Finding, Place, new_finding
from loopwright.grid.path import heading_between
from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Applicator, Layout


def check_applicators(layout: Layout) -> Iterator[Finding]:
    """An applicator stands beside its cell, knows its materials, gets its agent and does good."""
    if not layout.applicators:
        return
    carried = carried_materials(layout)
    known = {material.name for material in layout.materials}
    for one in layout.applicators:
        yield from _place(layout, one)
        unknown = [name for name in (one.agent, *one.materials) if name not in known]
        for name in unknown:
            yield _error(
                "LW441",
                one,
                f"{one.name} speaks of {name}, which the layout does not have",
                "use the name of a material of the layout",
            )
        if unknown:
            continue
        if one.dose and not _brought(layout, one, carried):
            yield _error(
                "LW442",
                one,
                f"no picker brings {one.agent} to {one.name}, so it never marks anything",
                f"let a picker put {one.agent} into it",
            )
        passing = carried.get(one.belt, ())
        if passing and one.materials and not set(one.materials) & set(passing):
            yield _error(
                "LW442",
                one,
                f"{one.name} marks {', '.join(one.materials)}, and {one.belt} carries "
                f"{', '.join(passing)} only",
                "let it stand over a belt that carries what it marks",
            )


def _place(layout: Layout, one: Applicator) -> Iterator[Finding]:
    path = next((belt.path for belt in layout.belts if belt.name == one.belt), ())
    if not 0 <= one.index < len(path):
        yield _error(
            "LW440",
            one,
            f"{one.name} stands over cell {one.index} of {one.belt}, which is not there",
            "name a cell of a belt of the layout",
        )
    elif heading_between(one.at, path[one.index]) is None:
        cell = path[one.index]
        yield _error(
            "LW440",
            one,
            f"{one.name} at {one.at.x},{one.at.y} is no neighbour of cell {one.index} of "
            f"{one.belt} at {cell.x},{cell.y}",
            "let it stand beside that cell",
        )


def _brought(layout: Layout, one: Applicator, carried: dict[str, tuple[str, ...]]) -> bool:
    """Whether some picker towards the applicator can take its agent."""
    outputs = {recipe.name: dict(recipe.outputs) for recipe in layout.recipes}
    made = {station.name: outputs.get(station.recipe, {}) for station in layout.stations}
    return any(
        one.agent in carried.get(picker.source.device, ())
        or one.agent in made.get(picker.source.device, ())
        for picker in layout.pickers
        if picker.target.device == one.name
    )


def _error(code: str, one: Applicator, message: str, remedy: str) -> Finding:
    return new_finding(code, message, Place(device=one.name), remedy=remedy)
