"""The whole site: a section for each process of a plan, each a block of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from loopwright.block.batch import batch_of, treatment_at
from loopwright.block.block import Block
from loopwright.block.order import flow_order
from loopwright.block.size import list_blocks
from loopwright.block.task import chosen_pickers
from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan import Plan

SHARE = Fraction(2, 5)
"""Share of the site's width that the rows of a section take at most."""

Rates = Mapping[str, Fraction]
"""Rates [units/s] by material."""


@dataclass(frozen=True, slots=True)
class Flow:
    """Where a material comes from and goes to, all rates [units/s]: `made` in sections, `imported`
    through docks, `drawn` from deposits, `demanded` from the site; `spare` if the plan makes more
    of it than is used."""

    material: str
    made: Fraction
    imported: Fraction
    drawn: Fraction
    demanded: Fraction
    spare: bool


@dataclass(frozen=True, slots=True)
class Section:
    """A block, and what it takes and gives by the plan; `spends` is the agent with which what it
    takes is marked, empty where it is not."""

    block: Block
    takes: Rates
    gives: Rates
    spends: Rates


@dataclass(frozen=True, slots=True)
class Site:
    """Sections in the order of flow, raw materials first; `target` is the process whose product
    the site is for. `flows` are all materials that sections take or give, `loads` the units on a
    carrier of each material, on the average, at least."""

    sections: tuple[Section, ...]
    target: str
    flows: tuple[Flow, ...]
    loads: Mapping[str, Fraction]

    @property
    def block(self) -> Block:
        """The block of the product."""
        blocks = (section.block for section in self.sections)
        return next(block for block in blocks if block.process == self.target)


def size_sections(plan: Plan, project: Project, share: Fraction = SHARE) -> Site:
    """A section for each process of `plan`: rows, lanes and loops of all.

    The choices of the project hold for the block of the product; those of equipment for all. Rows
    take at most `share` of the site's width.

    Raises
    ------
    DesignError
        Something cannot be built; there is a finding for each.
    """
    runs = [entry for entry in plan.processes if entry.cycles]
    target = target_process(plan, project)
    treated = _treatments(plan, [entry.process for entry in runs])
    names = flow_order(
        {name: project.processes[name] for name in treated},
        {name: _agent(project, treatment) for name, treatment in treated.items()},
    )
    loads = carrier_loads(project, treated)
    findings: list[Finding] = []
    sections: list[Section] = []
    for name in names:
        own = _alone(project, name, target, share)
        try:
            blocks = list_blocks(plan, own, loads)
        except DesignError as error:
            findings += [_of_section(finding, name) for finding in error.findings]
            continue
        block = next((one for one in blocks if _buildable(one, own)), blocks[0])
        sections.append(_section(_named(block), project))
    if findings:
        raise DesignError(tuple(findings))
    return Site(tuple(sections), target, tuple(_flows(plan, project, sections)), loads)


def block_site(block: Block, project: Project) -> Site:
    """A site with one section only: `block`, all it takes coming through docks and all it gives
    leaving the site."""
    section = _section(block, project)
    none = Fraction(0)
    taken = dict(section.takes)
    for name, rate in section.spends.items():
        taken[name] = taken.get(name, none) + rate
    flows = [
        Flow(name, none, rate, none, none, False)
        for name, rate in taken.items()
        if name not in section.gives
    ]
    flows += [Flow(name, rate, none, none, rate, False) for name, rate in section.gives.items()]
    stacks = {name: Fraction(kind.stack) for name, kind in project.materials.items()}
    return Site((section,), block.process, tuple(flows), stacks)


def _section(block: Block, project: Project) -> Section:
    process = project.processes[block.process]
    batch = batch_of(project, block.process, block.treatment)
    cycles = block.stations / batch.cycle
    takes = {name: units * cycles for name, units in process.inputs.items()}
    gives = {name: units * batch.batch_yield * cycles for name, units in process.outputs.items()}
    spends = {}
    if block.treatment:
        treatment = project.equipment.treatments[block.treatment]
        if treatment.dose:
            spends[treatment.agent] = treatment.dose * sum(takes.values(), Fraction(0))
    return Section(block, takes, gives, spends)


def _treatments(plan: Plan, names: Iterable[str]) -> dict[str, str]:
    """The treatment of each process, "" for none."""
    found: dict[str, str] = {}
    findings: list[Finding] = []
    for name in dict.fromkeys(names):
        try:
            found[name] = treatment_at(plan, name)
        except DesignError as error:
            findings += error.findings
    if findings:
        raise DesignError(tuple(findings))
    return found


def _agent(project: Project, treatment: str) -> tuple[str, ...]:
    return (project.equipment.treatments[treatment].agent,) if treatment else ()


def target_process(plan: Plan, project: Project) -> str:
    """The process that makes the product, most of it where several do."""
    if project.choices.process != "auto":
        return project.choices.process
    product = next(iter(project.demand))
    makers = [
        entry for entry in plan.processes if product in project.processes[entry.process].outputs
    ]
    if not makers or not any(entry.cycles for entry in makers):
        message = f"{product} is imported, so there is no section to make it"
        raise DesignError((new_finding("LW138", message, Place(path=f"demand.{product}")),))
    return max(makers, key=lambda entry: entry.cycles).process


def carrier_loads(project: Project, treated: Mapping[str, str]) -> dict[str, Fraction]:
    """Units on a carrier of each material on the average, at least: full from a dock; from the
    sections `treated`, each with its treatment, what outlet pickers set down of a batch, of the
    least of the makers."""
    hand = project.equipment.pickers[chosen_pickers(project)[1]].hand
    loads = {name: Fraction(material.stack) for name, material in project.materials.items()}
    for process, treatment in treated.items():
        factor = batch_of(project, process, treatment).batch_yield
        for name, units in project.processes[process].outputs.items():
            batch = units * factor
            most = min(project.materials[name].stack, hand)
            loads[name] = min(loads[name], batch / ceil(Fraction(ceil(batch), most)))
    return loads


def _alone(project: Project, name: str, target: str, share: Fraction) -> Project:
    """`project` as if it were there for the process `name`, on its share of the site."""
    choices = project.choices.model_copy(update={"process": name})
    if name != target:
        free = dict.fromkeys(("architecture", "sides", "row", "surplus", "mix"), "auto")
        choices = choices.model_copy(update=free)
    site = project.site
    width = max(10, int(site.width * share))
    return project.model_copy(
        update={"choices": choices, "site": site.model_copy(update={"width": width})}
    )


def _buildable(block: Block, project: Project) -> bool:
    """Whether pickers reach over all lanes and stand side by side; whether carriers that are not
    all alike may pass its gates."""
    process = project.processes[block.process]
    lanes = len(process.inputs)
    if block.architecture != "plain":
        return block.architecture == "loop" or project.choices.architecture == "pass"
    reach = max(picker.reach for picker in project.equipment.pickers.values())
    return lanes <= min(reach, project.station_of(block.process).width)


def _named(block: Block) -> Block:
    """`block` with the section in the names of its rows."""
    rows = tuple(replace(row, name=f"{block.process} {row.name}") for row in block.rows)
    return replace(block, rows=rows)


def _flows(plan: Plan, project: Project, sections: Iterable[Section]) -> list[Flow]:
    """What sections take, spend or give, in the order of the file."""
    moved: Mapping[str, None] = dict.fromkeys(
        material
        for section in sections
        for material in (*section.takes, *section.spends, *section.gives)
    )
    found = []
    for material in project.materials:
        if material in moved:
            entry = plan.material(material)
            rates = (entry.made, entry.imported, entry.drawn, entry.demanded)
            found.append(Flow(material, *rates, entry.surplus > 0))
    return found


def _of_section(finding: Finding, name: str) -> Finding:
    """`finding` with the section it is about."""
    return replace(finding, message=f"section {name}: {finding.message}")
