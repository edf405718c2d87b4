"""Why no row works, and what to do about it."""

from __future__ import annotations

from loopwright.block.architecture import Frame, frame_of, mixes
from loopwright.block.task import Task, whole_stations
from loopwright.exact import format_fraction
from loopwright.finding import Finding, Place, new_finding
from loopwright.model import Project


def refusal(frame: Frame, task: Task, project: Project) -> Finding:
    """The finding that says why `frame` has no design for `task`."""
    for reason in (_lane, _output, _row, _limit):
        finding = reason(frame, task, project)
        if finding is not None:
            return finding
    return new_finding(
        "LW308",
        f"{frame.architecture}: no row design gives {whole_stations(task)} stations",
        Place(path="choices.architecture"),
        value=frame.architecture,
    )


def wrong_architecture(task: Task, architecture: str) -> Finding:
    """The finding for a mixed lane where there is nothing to mix."""
    assert not mixes(task)
    inputs = ", ".join(task.inputs) or "nothing"
    return new_finding(
        "LW308",
        f"{architecture}: a mixed lane needs two materials or more, but {task.process} takes "
        f"{inputs}",
        Place(path="choices.architecture"),
        value=architecture,
        allowed="plain, or auto",
        remedy="set `choices.architecture` to plain or auto",
    )


def _lane(frame: Frame, task: Task, project: Project) -> Finding | None:
    """A lane that does not feed one station, or not with the surplus that a loop keeps."""
    serves = format_fraction(frame.capacity)
    speed = project.equipment.belts[task.belt].speed
    if frame.capacity < 1:
        needed = format_fraction(speed / frame.capacity)
        return new_finding(
            "LW307",
            f"{frame.architecture}: a lane on belt {task.belt} serves {serves} of a station",
            Place(path="choices.belt"),
            value=serves,
            allowed="at least 1",
            remedy=f"use a belt of at least {needed} carriers/s, or larger stacks of the inputs",
        )
    if frame.bounds.longest < 1:
        most = format_fraction(frame.capacity - 1)
        return new_finding(
            "LW304",
            f"{frame.architecture}: a lane serves {serves} stations, which is less than one with "
            f"a surplus of {format_fraction(frame.surplus)}",
            Place(path="choices.surplus"),
            value=format_fraction(frame.surplus),
            allowed=f"at most {most}",
            remedy=f"use a faster belt, or set `choices.surplus` to at most {most}",
        )
    return None


def _output(frame: Frame, task: Task, project: Project) -> Finding | None:
    """An output belt that does not take what one station on each of its sides gives."""
    if frame.bounds.double and 1 <= task.output < 2 and whole_stations(task) > 1:
        return new_finding(
            "LW309",
            f"{frame.architecture}: output belt {task.output_belt} serves "
            f"{format_fraction(task.output)} stations, too few for a row on each side",
            Place(path="choices.sides"),
            value=format_fraction(task.output),
            allowed="at least 2",
            remedy="set `choices.sides` to single, or use a faster output belt",
        )
    if task.output >= 1:
        return None
    speed = project.equipment.belts[task.output_belt].speed
    return new_finding(
        "LW309",
        f"output belt {task.output_belt} takes {format_fraction(task.output)} of what a station "
        "gives",
        Place(path="choices.output_belt"),
        value=format_fraction(task.output),
        allowed="at least 1",
        remedy=f"use an output belt of at least {format_fraction(speed / task.output)} carriers/s, "
        "or larger stacks and a larger hand at the outlet",
    )


def _row(frame: Frame, task: Task, project: Project) -> Finding | None:
    """A chosen row that is longer than a lane or an output belt allows."""
    row = frame.bounds.row
    if row is None:
        return None
    shared = task.output / 2 if frame.bounds.double else task.output
    most = min(frame.bounds.longest, int(shared))
    if frame.architecture == "pass":
        most = min(most, whole_stations(task) - 1)
    if row <= most:
        return None
    other = frame_of(task, project, frame.architecture, "single").bounds
    single = min(other.longest, int(other.output))
    hint = ", or `choices.sides` to single" if frame.bounds.double and row <= single else ""
    mixed = "a lane"
    if frame.net_rate < 1:
        mixed = f"a lane, whose mixer passes {format_fraction(frame.net_rate)} of a belt,"
    return new_finding(
        "LW303",
        f"{frame.architecture}, {frame.sides}: rows of {row} do not work; {mixed} serves rows of "
        f"up to {frame.bounds.longest} and an output belt {format_fraction(task.output)} stations",
        Place(path="choices.row"),
        value=str(row),
        allowed=f"1 to {most}" if most else "auto",
        remedy=f"set `choices.row` to auto or at most {most}{hint}{_gated(frame)}"
        if most
        else None,
    )


def _gated(frame: Frame) -> str:
    return ", or `choices.mix` to gate, which passes a full belt" if frame.net_rate < 1 else ""


def _limit(frame: Frame, task: Task, project: Project) -> Finding | None:
    if frame.bounds.most is None:
        return None
    limit = project.equipment.stations[task.station].limit
    return new_finding(
        "LW202",
        f"{frame.architecture}, {frame.sides}: full rows need more than the {frame.bounds.most} "
        f"stations of kind {task.station} that are left of {limit}; the plan asks "
        f"{format_fraction(task.needed)}",
        Place(path=f"equipment.stations.{task.station}.limit"),
        value=str(limit),
        remedy="raise `limit`, choose another row length, or lower the demand",
    )
