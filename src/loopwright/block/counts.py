"""What a block takes, counted before anything is placed."""

from __future__ import annotations

from loopwright.block.block import Counts, RowDesign
from loopwright.block.group import output_belts
from loopwright.block.task import Task
from loopwright.model import Project


def count_block(task: Task, project: Project, design: RowDesign, plain: bool, sides: str) -> Counts:
    """Stations, belts, pickers, power and effort of `design`.

    With `plain` each material has a belt and a picker of its own, else all share one. Supplies are
    belts' worth at the rates of the plan, not at those of the whole stations.
    """
    kinds = len(task.inputs)
    shared = kinds if plain else min(kinds, 1)
    stations = design.stations
    kind = project.equipment.stations[task.station]
    inlet = project.equipment.pickers[task.picker]
    outlet = project.equipment.pickers[task.output_picker]
    return Counts(
        stations=stations,
        lanes=design.rows * shared,
        supplies=tuple(
            (material, task.needed / serves) for material, serves in task.capacities.items()
        ),
        outputs=output_belts(design, sides == "double"),
        pickers=stations * (shared + 1),
        effort=stations * (kind.effort + shared * inlet.effort + outlet.effort),
        power=stations * (kind.power + shared * inlet.power + outlet.power),
    )
