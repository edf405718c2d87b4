"""What a batch takes and gives: the figures of a process, and what a treatment makes of them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.finding import DesignError, Place, new_finding
from loopwright.model import Project
from loopwright.plan import Plan
from loopwright.plan.amount import amount_text


@dataclass(frozen=True, slots=True)
class Batch:
    """`cycle` [s] of a station, its speed in it; `batch_yield` is a factor on the outputs."""

    cycle: Fraction
    batch_yield: Fraction


def batch_of(project: Project, process: str, treatment: str = "") -> Batch:
    """A batch of `process` whose inputs are all marked by `treatment`; "": by none."""
    about = project.processes[process]
    cycle, factor = about.cycle / project.station_of(process).speed, about.batch_yield
    if treatment:
        given = project.equipment.treatments[treatment]
        cycle, factor = cycle / given.speed, factor * given.batch_yield
    return Batch(cycle, factor)


def treatment_at(plan: Plan, process: str) -> str:
    """The treatment with which `process` runs in `plan`; "" for none.

    Raises
    ------
    DesignError
        LW311: some of its batches are treated, and others not, or otherwise.
    """
    running = [way for way in plan.processes if way.process == process and way.cycles]
    if len(running) < 2:
        return running[0].treatment if running else ""
    ways = ", ".join(
        f"{way.treatment or 'untreated'} {amount_text(way.cycles)} cycles/s" for way in running
    )
    treated = next(way.treatment for way in running if way.treatment)
    raise DesignError(
        (
            new_finding(
                "LW311",
                f"{process} runs in two ways in this plan: {ways}; the rows of a block are alike",
                Place(path=f"equipment.treatments.{treated}.processes"),
                value=process,
                allowed="one way for each process",
                remedy=f"list {process} twice under processes, only one of them in `processes` of "
                f"the treatment, or bring more of the agent",
            ),
        )
    )
