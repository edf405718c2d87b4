"""Warnings about a block that can be built."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from loopwright.block.batch import batch_of
from loopwright.block.block import Block
from loopwright.block.mixing import MIXER
from loopwright.exact import format_fraction
from loopwright.finding import Finding, Place, new_finding
from loopwright.model import Project


def check_block(block: Block, project: Project) -> tuple[Finding, ...]:
    """What may keep `block` below its rate, or jam it: slow pickers, takers ahead, leftovers."""
    found = [*_inlets(block, project), *_outlets(block, project), *_habit(block, project)]
    found += _strays(block)
    design = block.design
    if block.architecture == "pass" and not design.closed:
        left = design.lanes * (block.capacity - design.row) - design.make_up * design.make_up_row
        found.append(
            new_finding(
                "LW305",
                f"the rows leave {format_fraction(left)} stations' worth of the lanes over, "
                "which has to be returned",
                Place(path="choices.row"),
                value=format_fraction(left),
                allowed="0",
            )
        )
    return tuple(found)


def _inlets(block: Block, project: Project) -> Iterable[Finding]:
    """A mixed lane has one picker for all inputs of a station, a plain block one for each."""
    inputs = project.processes[block.process].inputs
    picker = project.equipment.pickers[block.picker]
    stacks = {name: project.materials[name].stack for name in inputs}
    swings = {
        name: Fraction(units, min(picker.hand, stacks[name])) for name, units in inputs.items()
    }
    if block.architecture == "plain":
        for name, count in swings.items():
            yield from _slow(block, project, block.picker, count, f"of {name}")
    elif swings:
        yield from _slow(block, project, block.picker, sum(swings.values(), Fraction(0)), "inlet")


def _outlets(block: Block, project: Project) -> Iterable[Finding]:
    process = project.processes[block.process]
    picker = project.equipment.pickers[block.output_picker]
    batch = batch_of(project, block.process, block.treatment)
    units = sum(process.outputs.values()) * batch.batch_yield
    yield from _slow(block, project, block.output_picker, units / picker.hand, "outlet")


def _slow(
    block: Block, project: Project, name: str, swings: Fraction, role: str
) -> Iterable[Finding]:
    """A finding if `swings` a cycle take longer than the cycle, even with full hands."""
    picker = project.equipment.pickers[name]
    cycle = batch_of(project, block.process, block.treatment).cycle
    taken = swings * picker.swing
    if taken <= cycle:
        return
    limit = cycle / swings
    yield new_finding(
        "LW302",
        f"picker {name} ({role}) needs {format_fraction(taken)} s for what a station of "
        f"{block.process} moves in a cycle of {format_fraction(cycle)} s",
        Place(path=f"equipment.pickers.{name}.swing"),
        value=f"{format_fraction(picker.swing)} s a swing",
        allowed=f"at most {format_fraction(limit)} s a swing",
        remedy=f"use a picker with a swing of at most {format_fraction(limit)} s, or a larger hand"
        + (", or set `choices.architecture` to plain" if role == "inlet" else ""),
    )


def _strays(block: Block) -> Iterable[Finding]:
    """A mixer misses turns while its lanes fill, and when one runs short: the mix is shifted for
    good, and only a way out for leftovers takes that off a loop again."""
    if block.mix != MIXER or block.gate == "drained":
        return
    where = "loop" if block.architecture == "loop" else "make-up row"
    yield new_finding(
        "LW313",
        f"a mixer does not wait: turns missed while lanes fill, or in an outage, shift the mix for "
        f"good, and what is too much stays on each {where}",
        Place(path="choices.gate"),
        value=block.gate,
        remedy="set `choices.gate` to drained; or start primed, and let no supply run short",
    )


def _habit(block: Block, project: Project) -> Iterable[Finding]:
    if block.architecture == "plain" or project.equipment.pickers[block.picker].habit == "commit":
        return
    yield new_finding(
        "LW310",
        f"picker {block.picker} takes ahead: it may hold a material that its station has no room "
        "for while the one that is missing goes by, and then stands for ever",
        Place(path=f"equipment.pickers.{block.picker}.habit"),
        value="grab",
        allowed="commit",
        remedy="choose a picker with `habit: commit` for mixed belts",
    )
