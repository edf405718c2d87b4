"""Site -> Layout: every section drawn, placed, joined to the others, powered and checked."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.block.site import Site
from loopwright.finding import DesignError, Severity
from loopwright.grid import Box
from loopwright.layout.check import check_layout
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Layout
from loopwright.layout.parts import Parts, block_parts
from loopwright.layout.power.place import with_power
from loopwright.layout.section.assembly import assemble
from loopwright.model import Project

GAPS = (2, 3, 5, 8, 12, 18)
"""Cells between sections that are tried in turn: as close together as the belts allow."""


def place_site(site: Site, project: Project) -> Layout:
    """Where each thing of all sections stands on the site of `project`.

    Raises
    ------
    DesignError
        The site is too small, a belt finds no way, or a dock cannot stand where it is to.
    """
    parts = [block_parts(section.block, project, site.loads) for section in site.sections]
    draft = _closest(site, parts, project)
    kinds = {kind.name: kind for own in parts for kind in own.materials}
    layout = draft.freeze(
        Layout(
            title=project.project.name,
            width=project.site.width,
            height=project.site.height,
            cell_size=project.site.cell,
            materials=tuple(kinds[name] for name in project.materials if name in kinds),
            recipes=tuple(own.recipe for own in parts),
            obstacles=tuple(Box(o.x, o.y, o.width, o.height) for o in project.site.obstacles),
            bridge_span=project.equipment.junctions.bridge.span,
        )
    )
    layout = with_power(layout, project)
    found = tuple(f for f in check_layout(layout) if f.severity is Severity.ERROR)
    if found:
        raise DesignError(found)
    return layout


def _closest(site: Site, parts: Sequence[Parts], project: Project) -> Draft:
    """All sections with the least gap between them that leaves each belt a way."""
    faults: DesignError | None = None
    for gap in GAPS:
        try:
            return assemble(site, parts, project, gap)
        except DesignError as error:
            small = any(finding.code == "LW427" for finding in error.findings)
            faults = faults if small and faults else error
            if small:
                break
    assert faults is not None
    raise faults
