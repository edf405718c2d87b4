"""Which processes a demand needs, and how much each makes and uses of every material.

A later optimiser may replace `solve.py`; this file stays, for it says what the balance is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.model import Project


@dataclass(frozen=True, slots=True)
class Balance:
    """The process x material balance of a demand.

    `processes` stand downstream first (products before parts), where no loop forbids it;
    `materials` in the order in which they are met. `maker` gives the process chosen for each
    material that has to be made; the other materials that are used come from outside. `made` and
    `used` hold units a cycle, yield included, by (process, material), entries above 0 only.
    `demand` [units/s].
    """

    processes: tuple[str, ...]
    materials: tuple[str, ...]
    maker: Mapping[str, str]
    made: Mapping[tuple[str, str], Fraction]
    used: Mapping[tuple[str, str], Fraction]
    demand: Mapping[str, Fraction]

    def net(self, process: str, material: str) -> Fraction:
        """What one cycle of `process` adds to `material` [units], below 0 where it takes."""
        key = (process, material)
        return self.made.get(key, Fraction(0)) - self.used.get(key, Fraction(0))

    def wanted(self, material: str) -> Fraction:
        """Demand of `material` [units/s]."""
        return self.demand.get(material, Fraction(0))


def collect_balance(project: Project) -> Balance:
    """The balance of all processes that the project's demand needs.

    Imported materials end the tree. Where several processes give a material, the one whose first
    output it is makes it; the others add to it along the way.

    Raises
    ------
    DesignError
        A needed material has no maker, or several among which nothing chooses; all are named.
    """
    findings: list[Finding] = []
    maker: dict[str, str] = {}
    done: list[str] = []
    started: set[str] = set()

    def visit(material: str) -> list[str]:
        """Note who makes `material`; the process if it is new, else nothing."""
        if material in maker or not project.is_made(material):
            return []
        chosen = choose_maker(project, material)
        if isinstance(chosen, Finding):
            if chosen not in findings:
                findings.append(chosen)
            return []
        maker[material] = chosen
        if chosen in started:
            return []
        started.add(chosen)
        return [chosen]

    for product in reversed(tuple(project.demand)):
        stack = [(process, _inputs_of(project, process)) for process in visit(product)]
        while stack:
            process, waiting = stack[-1]
            if waiting:
                stack.extend((new, _inputs_of(project, new)) for new in visit(waiting.pop()))
            else:
                done.append(process)
                stack.pop()
    if findings:
        raise DesignError(tuple(findings))
    return _balance(project, tuple(reversed(done)), maker)


def choose_maker(project: Project, material: str) -> str | Finding:
    """The process that makes `material`, or a finding if nothing chooses between several."""
    makers = tuple(project.makers(material))
    if len(makers) == 1:
        return makers[0]
    if project.choices.process in makers:
        return project.choices.process
    main = [name for name in makers if next(iter(project.processes[name].outputs)) == material]
    if len(main) == 1:
        return main[0]
    place = Place(path=f"materials.{material}")
    if not makers:
        return new_finding("LW139", f"no process makes {material}, and it is not imported", place)
    named = ", ".join(main or makers)
    return new_finding(
        "LW206",
        f"several processes make {material}: {named}",
        place,
        value=named,
        allowed="one process for each material",
        remedy=f"set `choices.process` to one of {named}, list {material} as the first output of "
        f"one of them only, or set `supply: imported` for {material}",
    )


def _inputs_of(project: Project, process: str) -> list[str]:
    """Inputs still to be visited; the first is taken from the end."""
    return list(project.processes[process].inputs)


def _balance(project: Project, processes: tuple[str, ...], maker: dict[str, str]) -> Balance:
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
    return Balance(processes, tuple(materials), maker, made, used, dict(project.demand))
