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

from reference.simplex import minimise


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


def cheapest(case: dict[str, Any]) -> dict[str, Any]:
    """The plan of least cost of a whole site, by the plain simplex of `reference.simplex`.

    The case is a larger dict: "materials" {name: {supply, price}} with supply auto, made, imported
    or either, "docks" {material: rate}, "deposits" [{material, rate}], "stations" {kind: {speed,
    effort, power, limit}}, "treatments" {name: {agent, dose, processes, yield, speed, rate,
    effort}} and "objective" {effort, power, imports}; a process names its "station" and may have
    "least" and "most".

    Returns the status and, where there is an optimum, the cost, cycles and imports.
    """
    columns = _columns(case)
    materials = list(case["materials"])
    rows: list[tuple[list[Fraction], str, Fraction]] = []
    for material in materials:
        wanted = Fraction(case["demand"].get(material, 0))
        rows.append(([column["net"].get(material, Fraction(0)) for column in columns], "=", wanted))
    for kind, station in case["stations"].items():
        if station["limit"] is not None:
            used = [column["time"] if column["on"] == kind else Fraction(0) for column in columns]
            rows.append((used, "<=", Fraction(station["limit"])))
    for name, process in case["processes"].items():
        ran = [Fraction(column["runs"] == name) for column in columns]
        if process.get("least"):
            rows.append((ran, ">=", Fraction(process["least"])))
        if process.get("most") is not None:
            rows.append((ran, "<=", Fraction(process["most"])))
    for at, column in enumerate(columns):
        if column["most"] is not None:
            alone = [Fraction(other == at) for other in range(len(columns))]
            rows.append((alone, "<=", Fraction(column["most"])))
    costs = [column["cost"] for column in columns]
    status, found = minimise(costs, rows)
    if status != "optimal":
        return {"status": status}
    cycles = {name: Fraction(0) for name in case["processes"]}
    imports: dict[str, Fraction] = {}
    for column, value in zip(columns, found, strict=True):
        if column["runs"] is not None:
            cycles[column["runs"]] += value
        if column["brings"] is not None and value:
            imports[column["brings"]] = value
    cost = sum((c * x for c, x in zip(costs, found, strict=True)), Fraction(0))
    return {"status": status, "cost": cost, "cycles": cycles, "imports": imports}


def _columns(case: dict[str, Any]) -> list[dict[str, Any]]:
    """Everything that can be done: runs of processes, imports, draws, drains."""
    blank: dict[str, Any] = {
        "net": {}, "cost": Fraction(0), "time": Fraction(0), "on": None, "runs": None,
        "brings": None, "most": None,
    }  # fmt: skip
    weights, columns = case["objective"], []
    for name, process in case["processes"].items():
        for treatment in (None, *case["treatments"].values()):
            if treatment is None or name in treatment["processes"]:
                columns.append(blank | _run(case, name, process, treatment))
    made = {output for process in case["processes"].values() for output in process["outputs"]}
    given = {one["material"] for one in case["deposits"]}
    for material, about in case["materials"].items():
        supply = about["supply"]
        if supply in ("imported", "either") or (supply == "auto" and material not in made | given):
            cost = Fraction(weights["imports"]) * Fraction(about.get("price", 1))
            columns.append(
                blank
                | {
                    "net": {material: Fraction(1)},
                    "cost": cost,
                    "brings": material,
                    "most": case["docks"].get(material),
                }
            )
        columns.append(blank | {"net": {material: Fraction(-1)}})
    for one in case["deposits"]:
        columns.append(blank | {"net": {one["material"]: Fraction(1)}, "most": one["rate"]})
    return columns


def _run(
    case: dict[str, Any], name: str, process: dict[str, Any], treatment: dict[str, Any] | None
) -> dict[str, Any]:
    """One cycle a second of a process, with a treatment or without."""
    station, weights = case["stations"][process["station"]], case["objective"]
    batch, speed, extra = Fraction(process["yield"]), Fraction(station["speed"]), Fraction(0)
    net: dict[str, Fraction] = {}
    for material, units in process["inputs"].items():
        net[material] = net.get(material, Fraction(0)) - units
    if treatment is not None:
        marked = sum(process["inputs"].values())
        agent = treatment["agent"]
        net[agent] = net.get(agent, Fraction(0)) - Fraction(treatment["dose"]) * marked
        batch *= Fraction(treatment["yield"])
        speed *= Fraction(treatment["speed"])
        extra = Fraction(marked) / Fraction(treatment["rate"]) * treatment["effort"]
    for material, units in process["outputs"].items():
        net[material] = net.get(material, Fraction(0)) + units * batch
    time = Fraction(process["cycle"]) / speed
    station_cost = Fraction(weights["effort"]) * station["effort"]
    station_cost += Fraction(weights["power"]) * station["power"]
    cost = time * station_cost + Fraction(weights["effort"]) * extra
    return {"net": net, "cost": cost, "time": time, "on": process["station"], "runs": name}
