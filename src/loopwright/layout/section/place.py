"""Site -> Layout: every section drawn, placed, joined to the others, powered and checked."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.block.site import Site
from loopwright.finding import DesignError, Finding, Severity, new_finding
from loopwright.grid import Box
from loopwright.layout.check import check_layout
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Belt, Layout
from loopwright.layout.module import make_modules
from loopwright.layout.parts import Parts, block_parts
from loopwright.layout.power.place import with_power
from loopwright.layout.section.assembly import Survey, assemble, survey
from loopwright.layout.section.fit import ORDERS
from loopwright.layout.section.turn import Spot
from loopwright.model import Project

GAPS = tuple((gap, gap) for gap in (2, 3, 5, 8, 12, 18))
"""Cells between sections, and between them and the margin, that are tried in turn: as close
together as the belts allow."""
TIGHT = ((2, 2), (2, 1), (1, 1), (1, 0))
"""The same where the site has little room."""


def place_site(site: Site, project: Project, *, tight: bool = False) -> Layout:
    """Where each thing of all sections stands on the site of `project`; with `tight`, close
    together, in whatever order they find room.

    Raises
    ------
    DesignError
        The site is too small, a belt finds no way, or a dock cannot stand where it is to.
    """
    parts = [block_parts(section.block, project, site.loads) for section in site.sections]
    kinds = {kind.name: kind for own in parts for kind in own.materials}
    empty = Layout(
        title=project.project.name,
        width=project.site.width,
        height=project.site.height,
        cell_size=project.site.cell,
        materials=tuple(kinds[name] for name in project.materials if name in kinds),
        recipes=tuple(own.recipe for own in parts),
        obstacles=tuple(Box(o.x, o.y, o.width, o.height) for o in project.site.obstacles),
        bridge_span=project.equipment.junctions.bridge.span,
    )
    draft = (_tightest if tight else _closest)(site, parts, project, empty)
    layout = with_power(draft.freeze(empty), project)
    faults = _faults(layout)
    if faults:
        raise DesignError(faults)
    return layout


def _faults(layout: Layout) -> tuple[Finding, ...]:
    return tuple(f for f in check_layout(layout) if f.severity is Severity.ERROR)


def _closest(site: Site, parts: Sequence[Parts], project: Project, empty: Layout) -> Draft:
    """All sections with the least gap between them that leaves each belt a way."""
    faults: DesignError | None = None
    for gap, edge in GAPS:
        try:
            plan = survey(site, parts, project, gap, edge)
            spots = plan.fit()
            return _shorter(plan, spots, assemble(plan, spots), empty)
        except DesignError as error:
            small = any(finding.code == "LW427" for finding in error.findings)
            faults = faults if small and faults else error
            if small:
                break
    assert faults is not None
    raise faults


def _tightest(site: Site, parts: Sequence[Parts], project: Project, empty: Layout) -> Draft:
    """All sections in the first order and with the first gap with which all have room and each belt
    a way."""
    faults: DesignError | None = None
    _check_floor(site, parts, project)
    for gap, edge in TIGHT:
        plan = survey(site, parts, project, gap, edge)
        for order in ORDERS:
            try:
                spots = plan.fit(order)
                return _shorter(plan, spots, assemble(plan, spots), empty)
            except DesignError as error:
                faults = faults or error
    assert faults is not None
    raise faults


def _check_floor(site: Site, parts: Sequence[Parts], project: Project) -> None:
    """Whether the site has as many cells as the rows of all sections take."""
    needed = 0
    for section, own in zip(site.sections, parts, strict=True):
        block = section.block
        for module in make_modules(block.architecture, block.sides, block.rows):
            needed += module.width(own) * module.height(own)
    edge = 2 * project.site.margin
    there = (project.site.width - edge) * (project.site.height - edge)
    if needed > there:
        message = "the rows of all sections take more floor than the site has"
        found = new_finding("LW427", message, value=f"{there} cells", allowed=f"{needed} cells")
        raise DesignError((found,))


def _shorter(plan: Survey, spots: list[Spot], draft: Draft, empty: Layout) -> Draft:
    """`draft`, or the same with wings turned round, if that is sound and takes fewer cells of
    belts."""
    other = plan.turn(spots)
    if other == spots:
        return draft
    try:
        tried = assemble(plan, other)
    except DesignError:
        return draft
    better = _cells(tried) < _cells(draft)
    return tried if better and not _faults(tried.freeze(empty)) else draft


def _cells(draft: Draft) -> int:
    return sum(len(device.path) for device in draft.devices if isinstance(device, Belt))
