"""What sizing needs of a project: one process, its stations, and the equipment chosen for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from loopwright.block.batch import batch_of, treatment_at
from loopwright.block.lane import batch_carriers, capacity, input_carriers, output_carriers
from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan import Plan, choose_maker


@dataclass(frozen=True, slots=True)
class Task:
    """One process to build a block for, all choices of equipment settled.

    `needed` stations, exact; `most` stations of its kind that may be had, or None. `cycle` [s] with
    the station's speed in it. `carriers` of each input that a cycle uses, `capacities` the stations
    that a full belt of one input serves, `mixed` those that a full belt of all inputs in the ratio
    of the recipe serves, `output` those that one output belt serves. A process without inputs
    sets no limit to lanes: `mixed` is then `output`. `treatment` is at work on the inputs; "" for
    none, else cycle and output are those of marked batches.
    """

    process: str
    product: str
    station: str
    needed: Fraction
    most: int | None
    cycle: Fraction
    inputs: Mapping[str, int]
    stacked: bool
    carriers: Mapping[str, Fraction]
    capacities: Mapping[str, Fraction]
    mixed: Fraction
    output: Fraction
    belt: str
    output_belt: str
    picker: str
    output_picker: str
    treatment: str = ""

    @property
    def tightest(self) -> str:
        """The input whose own belt serves the fewest stations; empty without inputs."""
        return min(self.capacities, key=lambda name: self.capacities[name], default="")


def read_task(plan: Plan, project: Project, loads: Mapping[str, Fraction] | None = None) -> Task:
    """The task that `project` sets, with the rates of `plan`.

    `loads` are the units on a carrier of each material, on the average, as its maker sets them
    down; None: carriers come full, and go away as full as a hand makes them.

    Raises
    ------
    DesignError
        Several products are demanded and none is chosen, the product is imported, or the process is
        treated in part.
    """
    product, name = _process(project)
    process = project.processes[name]
    station = project.station_of(name)
    entry = plan.process(name)
    choices = project.choices
    belt = choices.belt if choices.belt != "auto" else _fastest_belt(project)
    output_belt = choices.output_belt if choices.output_belt != "auto" else belt
    picker, output_picker = chosen_pickers(project)
    belts, pickers = project.equipment.belts, project.equipment.pickers
    stacks = {key: material.stack for key, material in project.materials.items()}
    treatment = treatment_at(plan, name)
    batch = batch_of(project, name, treatment)
    hand = pickers[output_picker].hand
    if loads is None:
        used = input_carriers(process.inputs, stacks)
        given = output_carriers(process.outputs, stacks, batch.batch_yield, hand)
    else:
        used = input_carriers(process.inputs, loads)
        given = batch_carriers(process.outputs, stacks, batch.batch_yield, hand)
    cycle = batch.cycle
    output = capacity(belts[output_belt].speed, cycle, given.values())
    speed = belts[belt].speed
    others = sum(
        other.whole
        for other in plan.processes
        if other.station == process.station and other.process != name
    )
    return Task(
        process=name,
        product=product,
        station=process.station,
        needed=entry.stations,
        most=None if station.limit is None else station.limit - others,
        cycle=cycle,
        inputs=process.inputs,
        stacked=any(stacks[material] > 1 for material in process.inputs),
        carriers=used,
        capacities={key: capacity(speed, cycle, [value]) for key, value in used.items()},
        mixed=capacity(speed, cycle, used.values()) if used else output,
        output=output,
        belt=belt,
        output_belt=output_belt,
        picker=picker,
        output_picker=output_picker,
        treatment=treatment,
    )


def whole_stations(task: Task) -> int:
    """Stations needed, rounded up; at least one."""
    return max(1, ceil(task.needed))


def chosen_pickers(project: Project) -> tuple[str, str]:
    """The pickers at inlets and at outlets."""
    choices = project.choices
    picker = choices.picker if choices.picker != "auto" else _fastest_picker(project)
    return picker, choices.output_picker if choices.output_picker != "auto" else picker


def _process(project: Project) -> tuple[str, str]:
    """The product of the block and the process that makes it."""
    chosen = project.choices.process
    demand = tuple(project.demand)
    if chosen != "auto":
        outputs = project.processes[chosen].outputs
        product = next((name for name in demand if name in outputs), next(iter(outputs)))
        return product, chosen
    if len(demand) > 1:
        named = ", ".join(demand)
        other = "" if project.choices.scope == "site" else ", or `choices.scope` to site"
        raise DesignError(
            (
                new_finding(
                    "LW301",
                    f"a block makes one product, but {len(demand)} are demanded: {named}",
                    Place(path="demand"),
                    value=named,
                    allowed="one product, or a process chosen",
                    remedy=f"set `choices.process` to the process that the block is for{other}",
                ),
            )
        )
    product = demand[0]
    if not project.is_made(product):
        raise DesignError(
            (
                new_finding(
                    "LW138",
                    f"{product} is imported, so there is no block to make it",
                    Place(path=f"materials.{product}.supply"),
                    value="imported",
                    allowed="made, or auto",
                ),
            )
        )
    maker = choose_maker(project, product)
    if isinstance(maker, Finding):
        raise DesignError((maker,))
    return product, maker


def _fastest_belt(project: Project) -> str:
    """The fastest belt; of equally fast ones the first in the file."""
    belts = project.equipment.belts
    return max(belts, key=lambda name: belts[name].speed)


def _fastest_picker(project: Project) -> str:
    """The picker that moves most units a second; those that commit go before those that grab."""
    pickers = project.equipment.pickers
    return min(
        pickers,
        key=lambda name: (
            pickers[name].habit != "commit",
            pickers[name].swing / pickers[name].hand,
        ),
    )
