"""Why this design, in a sentence."""

from __future__ import annotations

from loopwright.block.architecture import Frame
from loopwright.block.block import RowDesign
from loopwright.block.task import Task
from loopwright.exact import format_fraction


def reason_of(frame: Frame, task: Task, design: RowDesign) -> str:
    """A sentence for people: what the design rests on, with its numbers."""
    treated = f" All figures are those of batches marked by {task.treatment}."
    return _of_rows(frame, task, design) + (treated if task.treatment else "")


def _of_rows(frame: Frame, task: Task, design: RowDesign) -> str:
    if frame.architecture == "pass":
        return _pass(frame, design) + _mixed(frame)
    serves = format_fraction(frame.capacity)
    rows = "one row" if design.lanes == 1 else f"{design.lanes} rows"
    if frame.architecture == "loop":
        spare = format_fraction(frame.capacity / design.row - 1)
        return (
            f"One mixed lane serves {serves} stations; with {rows} of {design.row} it carries "
            f"{spare} more than they need (at least {format_fraction(frame.surplus)} is kept), and "
            "what passes a row comes back to its head." + _mixed(frame)
        )
    if not task.inputs:
        return f"Nothing has to be fed; an output belt sets the rows: {rows} of {design.row}."
    return (
        f"Each material has its own belt and picker; a belt of {task.tightest} serves {serves} "
        f"stations, the fewest of all; an output belt "
        f"serves {format_fraction(task.output)}, hence {rows} of {design.row}."
    )


def _mixed(frame: Frame) -> str:
    """What comes out of the mixer before a lane."""
    if frame.mixer is None:
        return ""
    rate = "a full belt" if frame.net_rate == 1 else f"{format_fraction(frame.net_rate)} of a belt"
    return f" Before it {frame.mixer.devices} devices mix what is fresh, and pass {rate}."


def _pass(frame: Frame, design: RowDesign) -> str:
    lanes = "One lane feeds a row" if design.lanes == 1 else f"{design.lanes} lanes feed rows"
    leave = "leaves" if design.lanes == 1 else "leave"
    make_up = "one make-up row" if design.make_up == 1 else f"{design.make_up} make-up rows"
    exactly = "exactly" if design.closed else "more than"
    uses = "uses" if design.make_up == 1 else "use"
    return (
        f"{lanes} of {design.row} and {leave} over {exactly} what {make_up} of "
        f"{design.make_up_row} {uses}; a lane serves {format_fraction(frame.capacity)} stations, "
        f"{format_fraction(design.fill)} of which its own row takes."
    )
