"""Which processes a demand needs, and how much each makes and uses of every material."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.model import Project


@dataclass(frozen=True, slots=True)
class Balance:
    """The process x material balance of a demand.

    `processes` stand downstream first (products before parts), where no loop forbids it;
    `materials` in the order in which they are met. `makers` gives the processes that compete to
    make each material that has to be made; the other materials that are used come from outside.
    `made` and `used` hold units a cycle without treatment, yield included, by (process, material),
    entries above 0 only. `demand` [units/s].
    """

    processes: tuple[str, ...]
    materials: tuple[str, ...]
    makers: Mapping[str, tuple[str, ...]]
    made: Mapping[tuple[str, str], Fraction]
    used: Mapping[tuple[str, str], Fraction]
    demand: Mapping[str, Fraction]


def collect_balance(project: Project) -> Balance:
    """The balance of all processes that can help to meet the project's demand.

    Imported materials end the tree. Besides what the demand needs, directly or not, these belong to
    it: processes that have a least rate, and those that use up what must not be drained freely.

    Raises
    ------
    DesignError
        Needed materials have no maker and no other source; all are named.
    """
    search = _Search(project)
    for product in reversed(tuple(project.demand)):
        search.follow(search.visit(product))
    search.follow(
        search.start(name) for name, process in project.processes.items() if process.least > 0
    )
    while users := [name for name in search.users() if name not in search.started]:
        search.follow(search.start(name) for name in users)
    if search.findings:
        raise DesignError(tuple(search.findings))
    return _balance(project, tuple(reversed(search.done)), search.makers)


class _Search:
    """Walk from materials to their makers; `done` gets every process after those it feeds on."""

    def __init__(self, project: Project) -> None:
        self.project = project
        self.findings: list[Finding] = []
        self.makers: dict[str, tuple[str, ...]] = {}
        self.done: list[str] = []
        self.started: set[str] = set()
        self._all: dict[str, list[str]] = {}
        for name, process in project.processes.items():
            for material in process.outputs:
                self._all.setdefault(material, []).append(name)
        self._agents: dict[str, list[str]] = {}
        for treatment in project.equipment.treatments.values():
            for name in treatment.processes:
                self._agents.setdefault(name, []).append(treatment.agent)
        chosen = project.choices.process
        self._given = set(project.processes[chosen].outputs) if chosen != "auto" else set()

    def visit(self, material: str) -> list[str]:
        """Note who makes `material`; those processes that are new."""
        project = self.project
        if material in self.makers:
            return []
        supply, known = project.materials[material].supply, self._all.get(material, [])
        if supply == "imported" or (supply != "made" and not known):
            return []
        makers = tuple(name for name in known if self._may_run(name))
        self.makers[material] = makers
        if not known and not project.deposits(material):
            self.findings.append(_unmade(material))
        return [name for maker in makers for name in self.start(maker)]

    def start(self, process: str) -> list[str]:
        """The process if it is new, else nothing."""
        if process in self.started:
            return []
        self.started.add(process)
        return [process]

    def follow(self, starts: Iterable[Iterable[str] | str]) -> None:
        """Go down from each process in turn."""
        for start in starts:
            names = [start] if isinstance(start, str) else list(start)
            stack = [(name, self._needs(name)) for name in names]
            while stack:
                process, waiting = stack[-1]
                if waiting:
                    stack.extend((new, self._needs(new)) for new in self.visit(waiting.pop()))
                else:
                    self.done.append(process)
                    stack.pop()

    def users(self) -> list[str]:
        """Processes that use up a material which must not be drained, or not for nothing."""
        project = self.project
        costly = {
            material
            for name in self.started
            for material in project.processes[name].outputs
            if project.materials[material].surplus == "forbid"
            or project.materials[material].drain_price > 0
        }
        return [
            name
            for name, process in project.processes.items()
            if self._may_run(name) and costly & set(process.inputs)
        ]

    def _may_run(self, name: str) -> bool:
        """Whether neither `most` nor the chosen process rules the process out."""
        process = self.project.processes[name]
        ruled_out = name != self.project.choices.process and self._given >= set(process.outputs)
        return process.most != 0 and not (ruled_out and self._given)

    def _needs(self, process: str) -> list[str]:
        """Materials still to be visited; the first is taken from the end."""
        return [*self._agents.get(process, []), *self.project.processes[process].inputs]


def choose_maker(project: Project, material: str) -> str | Finding:
    """The process that a block for `material` is for, or a finding if nothing chooses one.

    In the plan itself all makers compete, and the cheapest wins.
    """
    makers = tuple(project.makers(material))
    if len(makers) == 1:
        return makers[0]
    if project.choices.process in makers:
        return project.choices.process
    main = [name for name in makers if next(iter(project.processes[name].outputs)) == material]
    if len(main) == 1:
        return main[0]
    if not makers:
        return _unmade(material)
    named = ", ".join(main or makers)
    return new_finding(
        "LW206",
        f"several processes make {material}: {named}",
        Place(path=f"materials.{material}"),
        value=named,
        allowed="one process for each material",
        remedy=f"set `choices.process` to one of {named}, list {material} as the first output of "
        f"one of them only, or set `supply: imported` for {material}",
    )


def _unmade(material: str) -> Finding:
    place = Place(path=f"materials.{material}")
    return new_finding("LW139", f"no process makes {material}, and it is not imported", place)


def _balance(
    project: Project, processes: tuple[str, ...], makers: Mapping[str, tuple[str, ...]]
) -> Balance:
    made: dict[tuple[str, str], Fraction] = {}
    used: dict[tuple[str, str], Fraction] = {}
    materials = dict.fromkeys(project.demand)
    for name in processes:
        process = project.processes[name]
        for material, units in process.outputs.items():
            made[name, material] = units * process.batch_yield
        for material, units in process.inputs.items():
            used[name, material] = Fraction(units)
        materials.update(dict.fromkeys((*process.outputs, *process.inputs)))
    for treatment in project.equipment.treatments.values():
        if set(treatment.processes) & set(processes):
            materials.setdefault(treatment.agent)
    return Balance(processes, tuple(materials), makers, made, used, dict(project.demand))
