"""The chain behind a figure: where a material comes from, who takes it, how the numbers arise."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from loopwright.exact import format_fraction, format_rate
from loopwright.model import Project
from loopwright.plan.plan import Flow, MaterialPlan, Plan, ProcessPlan

MOST_LINES = 400
"""A trace of a large site is cut off after so many lines."""


def trace_text(project: Project, plan: Plan, material: str) -> str:
    """The chain behind `material`, upstream, in fractions; each material is told once.

    Raises
    ------
    KeyError
        The plan does not have this material.
    """
    plan.material(material)
    lines = list(_lines(project, plan, material, set(), 0))
    if len(lines) > MOST_LINES:
        left = len(lines) - MOST_LINES
        lines = [
            *lines[:MOST_LINES],
            f"... and {left} lines more; trace one of the materials above",
        ]
    return "\n".join(lines)


def _lines(
    project: Project, plan: Plan, material: str, told: set[str], depth: int
) -> Iterator[str]:
    indent = "  " * depth
    entry = plan.material(material)
    if material in told:
        yield f"{indent}{material} {format_rate(entry.flow)}: see above"
        return
    told.add(material)
    makers = [one for one in plan.processes if one.cycles and _rate(one.makes, material)]
    yield f"{indent}{material} {format_rate(entry.flow)} = {_sources(entry, makers)}"
    yield f"{indent}  goes to {_takers(plan, entry)}"
    more = format_fraction(abs(entry.value) / 60)
    if entry.value > 0:
        yield f"{indent}  one more a minute costs {more}"
    elif entry.value < 0:
        yield f"{indent}  one less a minute, taken away here, saves {more}"
    for maker in makers:
        yield f"{indent}  {_making(project, maker, material)}"
        yield f"{indent}  {_stations(project, maker)}"
        for flow in maker.uses:
            yield from _lines(project, plan, flow.material, told, depth + 2)


def _sources(entry: MaterialPlan, makers: list[ProcessPlan]) -> str:
    parts = [f"{_name(one)} {format_rate(_rate(one.makes, entry.material))}" for one in makers]
    if entry.drawn:
        parts.append(f"deposits {format_rate(entry.drawn)}")
    if entry.imported:
        parts.append(f"imports {format_rate(entry.imported)}")
    return " + ".join(parts) or "nothing"


def _takers(plan: Plan, entry: MaterialPlan) -> str:
    parts = [
        f"{_name(one)} {format_rate(_rate(one.uses, entry.material))}"
        for one in plan.processes
        if _rate(one.uses, entry.material)
    ]
    if entry.demanded:
        parts.append(f"the demand {format_rate(entry.demanded)}")
    if entry.surplus:
        parts.append(f"the drain {format_rate(entry.surplus)}")
    return " + ".join(parts) or "nothing"


def _making(project: Project, entry: ProcessPlan, material: str) -> str:
    """Rate = cycles x units x yield x factor of the treatment."""
    process = project.processes[entry.process]
    factors = [f"{format_fraction(entry.cycles)} cycles/s", str(process.outputs[material])]
    if process.batch_yield != 1:
        factors.append(f"yield {format_fraction(process.batch_yield)}")
    if entry.treatment:
        factor = project.equipment.treatments[entry.treatment].batch_yield
        factors.append(f"{entry.treatment} {format_fraction(factor)}")
    rate = format_rate(_rate(entry.makes, material))
    return f"{_name(entry)}: {rate} = {' x '.join(factors)}"


def _stations(project: Project, entry: ProcessPlan) -> str:
    """Stations = cycles x cycle time / speed."""
    process, station = project.processes[entry.process], project.station_of(entry.process)
    speed = station.speed
    text = f"{format_fraction(entry.cycles)} cycles/s x {format_fraction(process.cycle)} s"
    if entry.treatment:
        speed *= project.equipment.treatments[entry.treatment].speed
    if speed != 1:
        text += f" / speed {format_fraction(speed)}"
    whole = "" if entry.stations == entry.whole else f", {entry.whole} whole"
    return f"{format_fraction(entry.stations)} stations of kind {entry.station} = {text}{whole}"


def _name(entry: ProcessPlan) -> str:
    return f"{entry.process} with {entry.treatment}" if entry.treatment else entry.process


def _rate(flows: tuple[Flow, ...], material: str) -> Fraction:
    return sum((flow.rate for flow in flows if flow.material == material), Fraction(0))
