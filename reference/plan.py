"""Slow, plain twin of the plan: explode a demand into cycles of processes, step by step.

It reads a dict and knows the standard library only:

    {"demand": {material: units a second},
     "imported": [materials that come from outside],
     "processes": {name: {"inputs": {material: units}, "outputs": {material: units},
                          "yield": factor, "cycle": seconds, "speed": factor}}}

`explode` walks down a tree (or any network without loops) of processes with one output each.
`iterate` repeats the same step on all processes at once and also goes round loops, where it comes
as near as one likes but never quite to the end.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any


def explode(case: dict[str, Any]) -> dict[str, dict[str, Fraction]]:
    """Cycles a second of each process, imports a second of each material; exact.

    Raises
    ------
    ValueError
        A material is needed for itself, directly or not, or nothing makes it.
    """
    cycles: dict[str, Fraction] = {}
    imports: dict[str, Fraction] = {}

    def need(material: str, units: Fraction, above: tuple[str, ...]) -> None:
        if material in above:
            raise ValueError(f"{material} is needed for itself")
        if material in case["imported"]:
            imports[material] = imports.get(material, Fraction(0)) + units
            return
        name, batch = maker_of(case, material)
        turns = units / batch
        cycles[name] = cycles.get(name, Fraction(0)) + turns
        for part, count in case["processes"][name]["inputs"].items():
            need(part, turns * count, (*above, material))

    for product, rate in case["demand"].items():
        need(product, Fraction(rate), ())
    return {"cycles": cycles, "imports": imports}


def iterate(case: dict[str, Any], rounds: int) -> dict[str, Fraction]:
    """Cycles a second of each process after `rounds` rounds: each answers the needs of the last."""
    cycles = {name: Fraction(0) for name in case["processes"]}
    for _ in range(rounds):
        wanted = {material: Fraction(rate) for material, rate in case["demand"].items()}
        for name, turns in cycles.items():
            for part, count in case["processes"][name]["inputs"].items():
                wanted[part] = wanted.get(part, Fraction(0)) + turns * count
        cycles = {name: Fraction(0) for name in case["processes"]}
        for material, units in wanted.items():
            if material not in case["imported"]:
                name, batch = maker_of(case, material)
                cycles[name] += units / batch
    return cycles


def stations(case: dict[str, Any], cycles: dict[str, Fraction]) -> dict[str, tuple[Fraction, int]]:
    """Stations of each process: exact, and rounded up."""
    found = {}
    for name, turns in cycles.items():
        process = case["processes"][name]
        exact = turns * Fraction(process["cycle"]) / Fraction(process["speed"])
        whole = exact.numerator // exact.denominator
        if whole < exact:
            whole += 1
        found[name] = (exact, whole)
    return found


def maker_of(case: dict[str, Any], material: str) -> tuple[str, Fraction]:
    """The first process that makes `material`, and the units that one cycle gives."""
    for name, process in case["processes"].items():
        if material in process["outputs"]:
            return name, process["outputs"][material] * Fraction(process["yield"])
    raise ValueError(f"nothing makes {material}")
