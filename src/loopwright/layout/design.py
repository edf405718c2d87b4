"""Project -> plan, blocks and layout, in the scope that the project chooses."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import TypeVar

from loopwright.block.block import Block
from loopwright.block.check import check_block
from loopwright.block.sharing import check_sharing
from loopwright.block.site import Site, block_site, size_sections
from loopwright.block.size import size_block
from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.layout.check import check_layout
from loopwright.layout.drained import check_drained
from loopwright.layout.layout import Layout
from loopwright.layout.place import place_layout
from loopwright.layout.section.place import place_site
from loopwright.model import Project
from loopwright.plan import Plan, check_plan, solve_plan

SHARES = (Fraction(2, 5), Fraction(1, 4), Fraction(4, 5))
"""Shares of the site's width that rows of sections may take, tried in turn."""


WIDTHS = (Fraction(1), Fraction(4, 5), Fraction(3, 5), Fraction(2, 5), Fraction(1, 4))
"""Shares of the site's width that rows of a block alone may take, tried in turn."""

Way = TypeVar("Way")


@dataclass(frozen=True, slots=True)
class Placed:
    """A layout and what stands in it: `block` makes the product, `sections` are all blocks from raw
    materials to the product, that one among them."""

    block: Block
    sections: tuple[Block, ...]
    layout: Layout


@dataclass(frozen=True, slots=True)
class Design:
    """A project and what follows from it: `block` makes the product, `sections` are all that are
    placed."""

    project: Project
    plan: Plan
    block: Block
    sections: tuple[Block, ...]
    layout: Layout

    @property
    def target(self) -> Fraction:
        """Rate at which the plan makes the product of the block, or at which it sends products from
        the whole site [units/s]."""
        if self.project.choices.scope == "site":
            return sum((entry.demanded for entry in self.plan.materials), Fraction(0))
        return self.plan.material(self.block.product).made


def design_project(project: Project, layout: Layout | None = None) -> Design:
    """Plan, blocks and layout of `project`; `layout` in place of its own where one is given.

    Raises
    ------
    DesignError
        A stage cannot go on; the findings say why and what to do.
    """
    plan = solve_plan(project)
    if layout is not None:
        return Design(project, plan, *size_project(plan, project), layout)
    placed = place_project(plan, project)
    return Design(project, plan, placed.block, placed.sections, placed.layout)


def design_findings(design: Design) -> tuple[Finding, ...]:
    """Warnings about what follows from the project."""
    return (
        *check_plan(design.plan),
        *(found for block in design.sections for found in check_block(block, design.project)),
        *check_sharing(design.plan, design.project, design.sections),
        *check_drained(design.sections, design.project),
        *check_layout(design.layout),
    )


def size_project(plan: Plan, project: Project) -> tuple[Block, tuple[Block, ...]]:
    """The block of the product, and all sections, before they are placed.

    Raises
    ------
    DesignError
        Something cannot be built; there is a finding for each.
    """
    if project.choices.scope == "site":
        return _blocks(size_sections(plan, project))
    block = size_block(plan, project)
    return block, (block,)


def _blocks(site: Site) -> tuple[Block, tuple[Block, ...]]:
    return site.block, tuple(section.block for section in site.sections)


def place_project(plan: Plan, project: Project) -> Placed:
    """The block of the product, or all sections of the site, where they stand.

    Raises
    ------
    DesignError
        Something cannot be built or finds no room; the findings say what to change.
    """
    if project.choices.scope == "site":
        return _whole(plan, project)

    def place(share: Fraction) -> Placed:
        width = max(10, int(project.site.width * share))
        site = project.site.model_copy(update={"width": width})
        block = size_block(plan, project.model_copy(update={"site": site}))
        return _block(block, plan, project)

    return _first_placed(place, WIDTHS if project.choices.row == "auto" else WIDTHS[:1])


def _block(block: Block, plan: Plan, project: Project) -> Placed:
    """A block alone where it stands."""
    if block.treatment:
        return Placed(block, (block,), place_layout(block, project))
    placed = [dock.placed for dock in project.site.docks]
    placed += [deposit.placed for deposit in project.site.deposits]
    apart = project.choices.supply == "trunks" and set(project.choices.row_flows) - {"auto"}
    if not any(placed) and not apart and not project.site.outgoing:
        return Placed(block, (block,), place_layout(block, project))
    if any(placed) and project.choices.supply == "docks":
        raise DesignError(
            (
                new_finding(
                    "LW434",
                    "docks at given places serve all rows by trunks, but each row is to have docks",
                    Place(path="choices.supply"),
                    value="docks",
                    allowed="trunks, or auto",
                    remedy="set `choices.supply` to trunks, or leave out where docks stand",
                ),
            )
        )
    return Placed(block, (block,), place_site(block_site(block, project), project))


def _whole(plan: Plan, project: Project) -> Placed:
    """All sections; with rows of another length, or closer together, where there is no room or no
    way for them."""

    def place(way: tuple[bool, Fraction]) -> Placed:
        tight, share = way
        site = size_sections(plan, project, share)
        return Placed(*_blocks(site), place_site(site, project, tight=tight))

    return _first_placed(place, tuple(product((False, True), SHARES)))


def _first_placed(place: Callable[[Way], Placed], ways: Sequence[Way]) -> Placed:
    """What is placed in the first of `ways` that works.

    Raises
    ------
    DesignError
        None of them does; the findings are those about the first.
    """
    fault: DesignError | None = None
    for way in ways:
        try:
            return place(way)
        except DesignError as error:
            fault = fault or error
    assert fault is not None
    raise fault
