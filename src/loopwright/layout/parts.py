"""What the rows of a block are built from, read off the project once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from loopwright.block.batch import batch_of
from loopwright.block.block import Block
from loopwright.block.mixer import Mixer, design_mixer
from loopwright.block.mixing import MIXER
from loopwright.block.sequence import whole_shares
from loopwright.finding import DesignError, new_finding
from loopwright.layout.layout import Grade, Material, Recipe
from loopwright.model import Project


@dataclass(frozen=True, slots=True)
class Arm:
    """A picker kind: `swing` [s], `hand` [units], `reach` [cells], `power` [kW]."""

    swing: Fraction
    hand: int
    habit: str
    takes: str
    reach: int
    power: Fraction


@dataclass(frozen=True, slots=True)
class Parts:
    """Station footprint [cells], buffer caps [units], speeds [cells/s], arms by needed reach.

    `shares` are the carriers of each input in the smallest whole ratio; `loads` the units on a
    full carrier, `carried` those on a carrier on the average. `aisle` [cells] is kept free between
    rows that stand lane to lane; powers [kW] are what a station and a gate draw. After every `gap`
    stations of a row a cell is left free; None: nowhere. `quotas` [carriers] are those that are
    chosen, `collector_speed` [cells/s] is of the make-up row's belts. A bridge stays up for at most
    `bridge_span` [cells]. `siding` [cells] is the length of sidings that is chosen; None: it is
    worked out. `mixer` mixes what is fresh; None: a gate does.
    """

    recipe: Recipe
    materials: tuple[Material, ...]
    width: int
    height: int
    caps: tuple[tuple[str, int], ...]
    outlet_cap: int
    lane_speed: Fraction
    output_speed: Fraction
    inlet_arms: Mapping[int, Arm]
    outlet_arm: Arm
    gate: str
    aisle: int
    station_power: Fraction
    gate_power: Fraction
    shares: tuple[tuple[str, int], ...]
    loads: Mapping[str, int]
    carried: Mapping[str, Fraction]
    gap: int | None
    quotas: Mapping[str, int]
    collector_speed: Fraction
    bridge_span: int
    siding: int | None
    mixer: Mixer | None = None

    def gap_before(self, index: int) -> bool:
        """Whether a free cell comes before the station of a row with that index from 0."""
        return self.gap is not None and index > 0 and index % self.gap == 0

    @property
    def cycle(self) -> Fraction:
        """Time of a cycle as planned [s]: of a marked batch, where the inputs are treated."""
        grades = self.recipe.grades
        return self.recipe.cycle / grades[0].speed if grades else self.recipe.cycle

    @property
    def inputs(self) -> tuple[str, ...]:
        """Input materials in the order of the process."""
        return tuple(material for material, _ in self.recipe.inputs)

    def flows(self, stations: int) -> dict[str, Fraction]:
        """Full carriers of each input that so many stations use in a step of the lane."""
        per_step = 1 / (self.cycle * self.lane_speed)
        return {
            name: count * stations / self.carried[name] * per_step
            for name, count in self.recipe.inputs
        }

    def arm(self, reach: int) -> Arm:
        """The picker that brings material over `reach` cells.

        Raises
        ------
        DesignError
            No picker of the equipment reaches so far.
        """
        if reach in self.inlet_arms:
            return self.inlet_arms[reach]
        finding = new_finding(
            "LW402",
            f"no picker reaches {reach} cells, as {reach} lanes on one side of a row need",
            value=str(reach),
            allowed=f"a reach of {max(self.inlet_arms, default=0)} with this equipment",
            remedy=f"add a picker with reach: {reach}, or choose architecture: loop",
        )
        raise DesignError((finding,))


def block_parts(
    block: Block, project: Project, loads: Mapping[str, Fraction] | None = None
) -> Parts:
    """Everything that the rows of `block` are built from.

    `loads` [units] on a carrier of each material on the average; None: carriers come full.
    """
    process = project.processes[block.process]
    station = project.equipment.stations[process.station]
    inputs = tuple(process.inputs.items())
    outputs = tuple(process.outputs.items())
    letters = project.letters
    moved = [*process.inputs, *process.outputs]
    plain = batch_of(project, block.process)
    grades: tuple[Grade, ...] = ()
    most = plain.batch_yield
    if block.treatment:
        treatment = project.equipment.treatments[block.treatment]
        grades = (Grade(treatment.batch_yield, treatment.speed),)
        most *= max(Fraction(1), treatment.batch_yield)
        moved.append(treatment.agent)
    kinds = {name: project.materials[name] for name in moved}
    largest = max(ceil(count * most) for _, count in outputs)
    carried = loads or {name: Fraction(kind.stack) for name, kind in kinds.items()}
    carriers = [count / carried[name] for name, count in inputs]
    shares = tuple(zip((name for name, _ in inputs), whole_shares(carriers), strict=True))
    return Parts(
        recipe=Recipe(block.process, plain.cycle, inputs, outputs, plain.batch_yield, grades),
        materials=tuple(
            Material(name, letters[name], kind.title or name, kind.stack)
            for name, kind in kinds.items()
        ),
        width=station.width,
        height=station.height,
        caps=tuple(
            (name, process.caps.get(name, count * station.batches)) for name, count in inputs
        ),
        outlet_cap=largest * station.outlet_batches,
        lane_speed=project.equipment.belts[block.belt].speed,
        output_speed=project.equipment.belts[block.output_belt].speed,
        inlet_arms=_arms_by_reach(block, project),
        outlet_arm=_arm(project, block.output_picker),
        gate=block.gate,
        aisle=project.choices.aisle,
        station_power=station.power,
        gate_power=project.equipment.junctions.gate.power,
        shares=shares,
        loads={name: kind.stack for name, kind in kinds.items()},
        carried=carried,
        gap=project.choices.maintenance_gap,
        quotas={n: q for n, q in project.choices.quotas.items() if n in process.inputs},
        collector_speed=_collector_speed(block, project),
        bridge_span=project.equipment.junctions.bridge.span,
        siding=None if project.choices.siding == "auto" else project.choices.siding,
        mixer=design_mixer(dict(shares)) if block.mix == MIXER else None,
    )


def _collector_speed(block: Block, project: Project) -> Fraction:
    chosen = project.choices.collector_belt
    return project.equipment.belts[block.belt if chosen == "auto" else chosen].speed


def _arm(project: Project, key: str) -> Arm:
    kind = project.equipment.pickers[key]
    return Arm(kind.swing, kind.hand, kind.habit, kind.takes, kind.reach, kind.power)


def _arms_by_reach(block: Block, project: Project) -> dict[int, Arm]:
    """For each reach the block's own picker if it will do, else the least effort that will."""
    chosen = _arm(project, block.picker)
    kinds = project.equipment.pickers
    by_effort = sorted(kinds, key=lambda key: (kinds[key].effort, key))
    longest = max(kind.reach for kind in kinds.values())
    arms = {}
    for reach in range(1, longest + 1):
        fitting = [_arm(project, key) for key in by_effort if kinds[key].reach >= reach]
        arms[reach] = chosen if chosen.reach >= reach else fitting[0]
    return arms
