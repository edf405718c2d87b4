"""Block -> Layout: modules one below the other, in columns, clear of obstacles."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.block.block import Block
from loopwright.block.site import block_site
from loopwright.finding import DesignError, Finding, Severity, new_finding
from loopwright.grid import Box, Cell
from loopwright.layout.check import check_layout
from loopwright.layout.direction import module_flows
from loopwright.layout.draft import Draft
from loopwright.layout.layout import Layout
from loopwright.layout.module import Module, draw_module, make_modules
from loopwright.layout.parts import Parts, block_parts
from loopwright.layout.power.place import with_power
from loopwright.layout.section.place import place_site
from loopwright.layout.section.turn import Spot
from loopwright.layout.supply.trunk import draw_trunks, trunk_width
from loopwright.layout.treatment.choice import check_treatment
from loopwright.model import Project


def place_layout(block: Block, project: Project) -> Layout:
    """Where each thing of `block` stands on the site of `project`.

    Where what it takes is treated, that comes by trunks through a bay of applicators.

    Raises
    ------
    DesignError
        The site is too small, or no picker reaches far enough.
    """
    if block.treatment:
        check_treatment(block, project)
        return place_site(block_site(block, project), project)
    parts = block_parts(block, project)
    site = project.site
    obstacles = tuple(Box(o.x, o.y, o.width, o.height) for o in site.obstacles)
    modules = make_modules(block.architecture, block.sides, block.rows)
    flows = module_flows(modules, project.choices.flow, project.choices.row_flows)
    westward = project.choices.flow == "west"
    turned = [(flow == "west") != westward for flow in flows]
    if westward:
        draft = _drawn(modules, turned, block, parts, *_mirrored(project, obstacles))
        whole = Spot(Cell(0, 0), site.width, mirrored=True)
        draft.devices = [whole.device(device) for device in draft.devices]
    else:
        draft = _drawn(modules, turned, block, parts, project, obstacles)
    layout = draft.freeze(
        Layout(
            title=project.project.name,
            width=site.width,
            height=site.height,
            cell_size=site.cell,
            materials=parts.materials,
            recipes=(parts.recipe,),
            obstacles=obstacles,
            bridge_span=project.equipment.junctions.bridge.span,
        )
    )
    layout = with_power(layout, project)
    faults = tuple(f for f in check_layout(layout) if f.severity is Severity.ERROR)
    if faults:
        raise DesignError(faults)
    return layout


def _mirrored(project: Project, obstacles: tuple[Box, ...]) -> tuple[Project, tuple[Box, ...]]:
    """The site as a mirror shows it: west and east exchanged."""
    site = project.site
    whole = Spot(Cell(0, 0), site.width, mirrored=True)
    stones = tuple(
        stone.model_copy(update={"x": site.width - stone.x - stone.width})
        for stone in site.obstacles
    )
    turned = site.model_copy(update={"obstacles": stones})
    return project.model_copy(update={"site": turned}), tuple(map(whole.box, obstacles))


def _drawn(
    modules: list[Module],
    turned: Sequence[bool],
    block: Block,
    parts: Parts,
    project: Project,
    obstacles: tuple[Box, ...],
) -> Draft:
    """All modules, those mirrored that are `turned`; with trunks, for which none is, as far east as
    these need."""
    west = 0
    while True:
        draft = Draft()
        corners = _corners(modules, parts, project, obstacles, west)
        for module, corner, mirrored in zip(modules, corners, turned, strict=True):
            first = len(draft.devices)
            draw_module(draft, module, parts, corner)
            if mirrored:  # on the spot
                spot = Spot(Cell(2 * corner.x, 0), module.width(parts), mirrored)
                draft.devices[first:] = map(spot.device, draft.devices[first:])
        if project.choices.supply != "trunks":
            return draft
        needed = trunk_width(draft.entries, block, parts, project)
        if needed <= west:
            draw_trunks(draft, draft.entries, block, parts, project, west)
            return draft
        west = needed


def _corners(
    modules: list[Module],
    parts: Parts,
    project: Project,
    obstacles: tuple[Box, ...],
    west: int,
) -> list[Cell]:
    """North-west corners: down the site from the margin, then in the next column to the east; west
    of each module `west` cells are left for trunks."""
    site = project.site
    corners: list[Cell] = []
    x, y, widest = site.margin, site.margin, 0
    for module in modules:
        width, height = module.width(parts) + west, module.height(parts)
        spot = _free_spot(x, y, width, height, project, obstacles)
        if spot is None and corners:
            x, y, widest = x + widest + parts.aisle, site.margin, 0
            spot = _free_spot(x, y, width, height, project, obstacles)
        if spot is None:
            raise DesignError((_too_small(modules, parts, project, len(corners), west),))
        corners.append(Cell(spot.x + west, spot.y))
        y, widest = spot.y + height + parts.aisle, max(widest, width)
    return corners


def _free_spot(
    x: int, y: int, width: int, height: int, project: Project, obstacles: tuple[Box, ...]
) -> Cell | None:
    """The first free corner in column `x` from row `y` down; None where there is none.

    The cells before the docks at both ends are kept free as well.
    """
    site = project.site
    if x + width > site.width - site.margin:
        return None
    while y + height <= site.height - site.margin:
        box = Box(x - 1, y, width + 2, height)
        hit = [obstacle for obstacle in obstacles if obstacle.overlaps(box)]
        if not hit:
            return Cell(x, y)
        y = max(obstacle.y + obstacle.height for obstacle in hit)
    return None


def _too_small(
    modules: list[Module], parts: Parts, project: Project, placed: int, west: int
) -> Finding:
    site = project.site
    width = max(module.width(parts) for module in modules) + west + 2 * site.margin
    height = sum(module.height(parts) for module in modules) + 2 * site.margin
    height += parts.aisle * (len(modules) - 1)
    return new_finding(
        "LW401",
        f"the site has room for {placed} of {len(modules)} modules of rows",
        value=f"{site.width} x {site.height} cells",
        allowed=f"{width} x {height} cells would hold all modules in one column",
        remedy="make the site larger, shorten the rows, or move obstacles",
    )
