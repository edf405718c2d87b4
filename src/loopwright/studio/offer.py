"""What the Block page offers: every row design of every architecture, sized one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loopwright.block import Block, check_block, list_blocks, size_block
from loopwright.drawing import plan_materials
from loopwright.drawing.row_chart import row_picture
from loopwright.finding import DesignError, Finding
from loopwright.model import Project
from loopwright.plan import Plan
from loopwright.studio.message import BlockDesign

ROWS_SHOWN = 12
"""Row designs of one architecture that are offered, the best ones."""

ARCHITECTURES = ("loop", "pass", "plain")
SIDES = ("double", "single")


@dataclass(frozen=True, slots=True)
class Offer:
    """Designs by rank; the key of the chosen one, None where the choices of the file lead to none.

    `found` is about the chosen design, `refused` says why architectures are not offered.
    """

    designs: tuple[BlockDesign, ...]
    chosen: str | None
    found: tuple[Finding, ...]
    refused: tuple[Finding, ...]


def offer_blocks(plan: Plan, project: Project) -> Offer:
    """All designs at the rates of `plan`; choices other than architecture, sides and row hold."""
    refused: list[Finding] = []
    blocks = list(_all(plan, project, refused))
    found: tuple[Finding, ...]
    try:
        chosen = size_block(plan, project)
        found = check_block(chosen, project)
        key = _key(chosen)
        if key not in map(_key, blocks):
            blocks.insert(0, chosen)
    except DesignError as error:
        key, found = None, error.findings
    numbers = {
        material.name: number for number, material in enumerate(plan_materials(project, plan), 1)
    }
    designs = tuple(
        BlockDesign(
            key=_key(block),
            block=block,
            picture=row_picture(
                block, block.design, numbers, theme="page", prefix=f"lw-{_key(block)}"
            ),
            choices={
                "architecture": block.architecture,
                "sides": block.sides,
                "row": str(block.design.row),
            },
        )
        for block in blocks
    )
    other = tuple(one for one in dict.fromkeys(refused) if one not in found)
    return Offer(designs, key, found, other)


def _all(plan: Plan, project: Project, refused: list[Finding]) -> Iterator[Block]:
    """Each architecture with its best rows; why one has none goes to `refused`."""
    for architecture in ARCHITECTURES:
        for sides in SIDES:
            try:
                best = list_blocks(plan, _with(project, architecture, sides, "auto"))[0]
            except DesignError as error:
                refused.extend(error.findings)
                continue
            lengths = list(dict.fromkeys(design.row for design in best.designs))
            for row in lengths[:ROWS_SHOWN]:
                yield size_block(plan, _with(project, architecture, sides, row))


def _with(project: Project, architecture: str, sides: str, row: int | str) -> Project:
    choices = {"architecture": architecture, "sides": sides, "row": row}
    return project.model_copy(update={"choices": project.choices.model_copy(update=choices)})


def _key(block: Block) -> str:
    return f"{block.architecture}-{block.sides}-{block.design.row}"
