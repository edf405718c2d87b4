"""Checks across fields: everything that no single field can know."""

from __future__ import annotations

from loopwright.finding import Finding
from loopwright.model.extent import check_extents
from loopwright.model.held import check_held
from loopwright.model.outline import Outline
from loopwright.model.reference import check_references
from loopwright.model.source import Mapping
from loopwright.model.supply import check_supplies


def check_tree(tree: Mapping) -> list[Finding]:
    """What is wrong between the parts of a project, whatever single fields are worth."""
    outline = Outline(tree)
    found = [*check_references(outline), *check_supplies(outline), *check_held(outline)]
    return [*found, *check_extents(outline)]
