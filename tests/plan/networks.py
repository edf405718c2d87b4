"""Random sites: networks of processes that compete, recycle and leave by-products.

A network is a dict as the slow twin reads it (`reference/plan.py`); `as_project` makes a project of
it. Materials m0, m1, ... stand in the order of making: m0 is the product, and a process makes one
from later ones. On top of that come, each with its own chance: other processes for the same
material, by-products, inputs that come back from earlier materials (recycling), treatments,
deposits, docks with a limit, imports beside making, station limits, least and most rates.
"""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

from loopwright.model import Choices, Equipment, Material, Process, Project, Site

MOST_PROCESSES = 700
"""A file holds no more than 500 materials; larger projects are put together unchecked."""

KINDS = ("bench", "press", "kiln", "mill")


def network(seed: int, processes: int, *, tight: bool = False) -> dict[str, Any]:
    """One network of `processes` processes; with `tight` limits it often cannot meet its demand."""
    chance = random.Random(f"network {seed} {processes}")
    materials = max(4, processes * 2 // 3)
    made = max(2, materials * 4 // 5)
    case: dict[str, Any] = {
        "demand": {"m0": _ratio(chance, 20)},
        "materials": {f"m{index}": {"supply": "auto"} for index in range(materials)},
        "processes": {},
        "stations": {
            kind: {
                "speed": _ratio(chance, 3), "effort": chance.randint(1, 9),
                "power": chance.randint(0, 50), "limit": None,
            }
            for kind in KINDS
        },
        "docks": {}, "deposits": [], "treatments": {},
        "objective": {"effort": 1, "power": chance.choice([0, Fraction(1, 10)]), "imports": 1},
    }  # fmt: skip
    for count in range(processes):
        target = count if count < made else chance.randrange(made)
        _process(case, chance, f"p{count}", target, materials)
    for index in range(made, materials):
        _supply(case, chance, f"m{index}", tight)
    if chance.random() < Fraction(1, 2) and made > 2:
        case["demand"][f"m{chance.randrange(1, made)}"] = _ratio(chance, 20)
    for kind in KINDS:
        if tight and chance.random() < Fraction(1, 2):
            case["stations"][kind]["limit"] = chance.randint(1, 20 * processes)
    if chance.random() < Fraction(1, 2):
        chosen = chance.sample(sorted(case["processes"]), max(1, processes // 8))
        case["treatments"]["wax"] = {
            "agent": f"m{materials - 1}", "dose": Fraction(1, chance.randint(2, 20)),
            "processes": chosen, "yield": Fraction(chance.randint(10, 16), 10), "speed": 1,
            "rate": 10, "effort": chance.randint(1, 4),
        }  # fmt: skip
    if tight:
        name = chance.choice(sorted(case["processes"]))
        case["processes"][name]["most"] = _ratio(chance, 5)
        name = chance.choice(sorted(case["processes"]))
        if case["processes"][name].get("most") is None:
            case["processes"][name]["least"] = _ratio(chance, 5) / 10
    return case


def _process(
    case: dict[str, Any], chance: random.Random, name: str, target: int, materials: int
) -> None:
    later = range(target + 1, materials)
    near = range(target + 1, min(materials, target + 12))
    count = chance.randint(1, 3)
    inputs = {
        chance.choice(near if chance.random() < Fraction(4, 5) else later) for _ in range(count)
    }
    outputs = {f"m{target}": chance.randint(1, 6)}
    process: dict[str, Any] = {
        "station": chance.choice(KINDS),
        "cycle": _ratio(chance, 8),
        "inputs": {f"m{index}": chance.randint(1, 5) for index in sorted(inputs)},
        "outputs": outputs,
        "yield": chance.choice([1, 1, 1, Fraction(5, 4), Fraction(9, 10)]),
    }
    if chance.random() < Fraction(1, 8):
        outputs.setdefault(f"m{chance.choice(near)}", 1)
    if chance.random() < Fraction(1, 12) and target > 0:
        outputs[f"m{target}"] += 3
        process["inputs"].setdefault(f"m{chance.randrange(max(0, target - 12), target + 1)}", 1)
    case["processes"][name] = process


def _supply(case: dict[str, Any], chance: random.Random, material: str, tight: bool) -> None:
    about = case["materials"][material]
    about["supply"] = "either"
    about["price"] = _ratio(chance, 6)
    if tight and chance.random() < Fraction(1, 3):
        case["docks"][material] = _ratio(chance, 2000)
    if chance.random() < Fraction(1, 4):
        case["deposits"].append({"material": material, "rate": _ratio(chance, 500)})


def _ratio(chance: random.Random, most: int) -> Fraction:
    return Fraction(chance.randint(1, most * 4), chance.choice([1, 2, 3, 4, 5]))


def as_project(case: dict[str, Any]) -> Project:
    """The project of a network; not validated where it is larger than a file may be."""
    data: dict[str, Any] = {
        "project": {"format": 1, "name": "Network"},
        "materials": {
            name: {"price": str(entry.get("price", 1)), "supply": entry["supply"]}
            for name, entry in case["materials"].items()
        },
        "processes": {
            name: {
                "station": entry["station"], "cycle": f"{entry['cycle']} s",
                "inputs": entry["inputs"], "outputs": entry["outputs"],
                "yield": str(entry["yield"]), "least": f"{entry.get('least', 0)}/s",
                "most": f"{entry['most']}/s" if "most" in entry else "none",
            }
            for name, entry in case["processes"].items()
        },
        "equipment": {
            "stations": {
                kind: {
                    "speed": str(entry["speed"]), "effort": entry["effort"],
                    "power": f"{entry['power']} kW", "limit": entry["limit"] or "none",
                }
                for kind, entry in case["stations"].items()
            },
            "belts": {"band": {"speed": "10 carriers/s"}},
            "pickers": {"arm": {"swing": "1/2 s"}},
            "treatments": {
                name: {
                    "agent": entry["agent"], "dose": str(entry["dose"]),
                    "processes": entry["processes"], "yield": str(entry["yield"]),
                    "speed": str(entry["speed"]), "rate": f"{entry['rate']}/s",
                    "effort": entry["effort"],
                }
                for name, entry in case["treatments"].items()
            },
        },
        "site": {
            "docks": [{"material": m, "rate": f"{rate}/s"} for m, rate in case["docks"].items()],
            "deposits": [
                {"material": one["material"], "rate": f"{one['rate']}/s"}
                for one in case["deposits"]
            ],
        },
        "demand": {name: f"{rate}/s" for name, rate in case["demand"].items()},
        "choices": {
            "objective": {key: str(weight) for key, weight in case["objective"].items()}
        },
    }  # fmt: skip
    if len(data["processes"]) <= MOST_PROCESSES:
        return Project.model_validate(data)
    return Project.model_construct(
        materials={key: Material.model_validate(one) for key, one in data["materials"].items()},
        processes={key: Process.model_validate(one) for key, one in data["processes"].items()},
        equipment=Equipment.model_validate(data["equipment"]),
        site=Site.model_validate(data["site"]),
        demand={name: Fraction(rate) for name, rate in case["demand"].items()},
        choices=Choices.model_validate(data["choices"]),
    )
