"""The block of a plan: all architectures that can be built, ranked."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from loopwright.block.architecture import (
    Frame,
    frame_of,
    gate_of,
    mixes,
    preference,
    row_designs,
)
from loopwright.block.block import Block, Lane, Row, RowDesign
from loopwright.block.counts import count_block
from loopwright.block.group import group_lanes
from loopwright.block.mixing import MIXER
from loopwright.block.reason import reason_of
from loopwright.block.refusal import refusal, wrong_architecture
from loopwright.block.task import Task, read_task
from loopwright.finding import DesignError
from loopwright.model import Project
from loopwright.plan import Plan


def size_block(plan: Plan, project: Project) -> Block:
    """The best block for `project` at the rates of `plan`, by the choices of the project.

    Raises
    ------
    DesignError
        A choice cannot work, or nothing can be built; the findings say what to change.
    """
    return list_blocks(plan, project)[0]


def list_blocks(
    plan: Plan, project: Project, loads: Mapping[str, Fraction] | None = None
) -> tuple[Block, ...]:
    """A block for each architecture and number of sides that the choices allow, best first.

    `loads` [units] on a carrier of each material on the average; None: carriers come full.

    Raises
    ------
    DesignError
        None of them can be built; there is a finding for each.
    """
    task = read_task(plan, project, loads)
    choices = project.choices
    order = preference(task)
    if choices.architecture != "auto":
        if choices.architecture != "plain" and not mixes(task):
            raise DesignError((wrong_architecture(task, choices.architecture),))
        order = (choices.architecture,)
    both = ("double", "single") if choices.sides == "auto" else (choices.sides,)
    blocks, findings = [], []
    for architecture in order:
        for sides in both:
            frame = frame_of(task, project, architecture, sides)
            designs = row_designs(frame, task)
            if designs:
                blocks.append(_block(frame, task, project, designs))
            else:
                findings.append(refusal(frame, task, project))
    if not blocks:
        raise DesignError(tuple(dict.fromkeys(findings)))
    return tuple(sorted(blocks, key=lambda block: _rank(block, order)))


def _rank(block: Block, order: tuple[str, ...]) -> tuple[int, int, Fraction, bool]:
    """Sorting key: the preferred architecture, then fewest rows and output belts, then stations."""
    design = block.design
    lone = design.rows == 1
    return (
        order.index(block.architecture),
        design.rows + block.counts.outputs,
        design.stations - block.stations,
        block.sides != ("single" if lone else "double"),
    )


def _block(frame: Frame, task: Task, project: Project, designs: tuple[RowDesign, ...]) -> Block:
    design = designs[0]
    plain = frame.architecture == "plain"
    return Block(
        process=task.process,
        product=task.product,
        architecture=frame.architecture,
        sides=frame.sides,
        stations=task.needed,
        capacity=frame.capacity,
        output_capacity=task.output,
        design=design,
        designs=designs,
        rows=_rows(task, design, frame),
        belt=task.belt,
        output_belt=task.output_belt,
        picker=task.picker,
        output_picker=task.output_picker,
        gate=gate_of(frame.architecture, project),
        mix="gate" if frame.mixer is None else MIXER,
        net_rate=frame.net_rate,
        counts=count_block(task, project, design, plain, frame.sides),
        reason=reason_of(frame, task, design),
        treatment=task.treatment,
    )


def _rows(task: Task, design: RowDesign, frame: Frame) -> tuple[Row, ...]:
    """Rows by name, group by group: those with lanes of their own, then the make-up row."""
    if frame.architecture == "plain":
        lanes = tuple(
            Lane((material,), (carriers,), task.capacities[material])
            for material, carriers in task.carriers.items()
        )
    else:
        lanes = (Lane(tuple(task.carriers), tuple(task.carriers.values()), frame.capacity),)
    roles: list[tuple[str, int]] = []
    for count in group_lanes(design):
        roles += [("main", design.row)] * count
        if design.make_up:
            roles.append(("make-up", design.make_up_row))
    return tuple(
        Row(f"row {number}", role, stations, lanes)
        for number, (role, stations) in enumerate(roles, start=1)
    )
