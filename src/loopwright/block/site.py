"""The whole site: a section for each process of a plan, each a block of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

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
    """A block, and what it takes and gives by the plan."""

    block: Block
    takes: Rates
    gives: Rates


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
        Something cannot be built, or a treatment is at work; there is a finding for each.
    """
    runs = [entry for entry in plan.processes if entry.cycles]
    findings = [_treated(entry.treatment) for entry in runs if entry.treatment]
    if findings:
        raise DesignError(tuple(dict.fromkeys(findings)))
    target = target_process(plan, project)
    names = flow_order({entry.process: project.processes[entry.process] for entry in runs})
    loads = carrier_loads(project, names)
    sections: list[Section] = []
    for name in names:
        own = _alone(project, name, target, share)
        try:
            blocks = list_blocks(plan, own, loads)
        except DesignError as error:
            findings += [_of_section(finding, name) for finding in error.findings]
            continue
        block = next((one for one in blocks if _buildable(one, own)), blocks[0])
        sections.append(_section(_named(block), plan))
    if findings:
        raise DesignError(tuple(findings))
    return Site(tuple(sections), target, tuple(_flows(plan, project, names)), loads)


def block_site(block: Block, plan: Plan, project: Project) -> Site:
    """A site with one section only: `block`, all it takes coming through docks and all it gives
    leaving the site."""
    section = _section(block, plan)
    none = Fraction(0)
    flows = [
        Flow(name, none, rate, none, none, False)
        for name, rate in section.takes.items()
        if name not in section.gives
    ]
    flows += [Flow(name, rate, none, none, rate, False) for name, rate in section.gives.items()]
    stacks = {name: Fraction(kind.stack) for name, kind in project.materials.items()}
    return Site((section,), block.process, tuple(flows), stacks)


def _section(block: Block, plan: Plan) -> Section:
    entry = plan.process(block.process)
    takes = {flow.material: flow.rate for flow in entry.uses}
    return Section(block, takes, {flow.material: flow.rate for flow in entry.makes})


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


def carrier_loads(project: Project, names: Iterable[str]) -> dict[str, Fraction]:
    """Units on a carrier of each material on the average, at least: full from a dock; from the
    sections `names` what outlet pickers set down of a batch, of the least of the makers."""
    hand = project.equipment.pickers[chosen_pickers(project)[1]].hand
    loads = {name: Fraction(material.stack) for name, material in project.materials.items()}
    for process in (project.processes[name] for name in names):
        for name, units in process.outputs.items():
            batch = units * process.batch_yield
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


def _flows(plan: Plan, project: Project, names: tuple[str, ...]) -> list[Flow]:
    """What sections take or give, in the order of the file."""
    moved: Mapping[str, None] = dict.fromkeys(
        material
        for name in names
        for material in (*project.processes[name].inputs, *project.processes[name].outputs)
    )
    found = []
    for material in project.materials:
        if material in moved:
            entry = plan.material(material)
            rates = (entry.made, entry.imported, entry.drawn, entry.demanded)
            found.append(Flow(material, *rates, entry.surplus > 0))
    return found


def _treated(treatment: str) -> Finding:
    return new_finding(
        "LW311",
        f"treatment {treatment} is at work in this plan, and sections have no applicators",
        Place(path=f"equipment.treatments.{treatment}"),
        remedy="set `choices.scope` to block, or leave the treatment out",
    )


def _of_section(finding: Finding, name: str) -> Finding:
    """`finding` with the section it is about."""
    return replace(finding, message=f"section {name}: {finding.message}")
