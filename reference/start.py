"""The state of a plant before its first tick: empty, or read from a state document."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

Document = dict[str, Any]


def empty_state(layout: Document) -> Document:
    """Nothing on the belts, all hands and stations empty, all counters 0."""
    recipes = {recipe["name"]: recipe for recipe in layout["recipes"]}
    recipe_of = {station["name"]: recipes[station["recipe"]] for station in layout["stations"]}
    gates = layout["gates"]
    inlets = {joint["name"]: len(joint["inlets"]) for joint in layout["merges"] + gates}
    inlets |= {gate["name"]: len(gate["inlets"]) + 1 for gate in gates if gate["main"]}
    inlets |= {flank["name"]: 1 for flank in layout["side_merges"]}
    return {
        "tick": 0,
        "belts": {belt["name"]: [None] * len(belt["path"]) for belt in layout["belts"]},
        "stations": {
            name: {
                "inputs": {material: 0 for material, _ in recipe["inputs"]},
                "outlet": {material: 0 for material, _ in recipe["outputs"]},
                "kept": {material: Fraction(0) for material, _ in recipe["outputs"]},
                "due": None,
                "down": None,
                "life": None,
                "marked": {},
                "grade": 0,
            }
            for name, recipe in recipe_of.items()
        },
        "pickers": {
            picker["name"]: {
                "phase": "idle",
                "material": None,
                "count": 0,
                "due": None,
                "mark": 0,
            }
            for picker in layout["pickers"]
        },
        "stores": {store["name"]: {} for store in layout["stores"]},
        "turns": {joint["name"]: 0 for joint in layout["merges"] + layout["diverts"] + gates},
        "windows": {
            gate["name"]: [None] * (gate["window"] - 1)
            for gate in gates
            if gate["rule"] == "windowed"
        },
        "credits": {source["name"]: Fraction(0) for source in layout["sources"] if source["rate"]},
        "arrivals": {},
        "marks": {},
        "marked": {},
        "applicators": {
            applicator["name"]: {"held": 0, "left": Fraction(0), "credit": Fraction(0)}
            for applicator in layout["applicators"]
        },
        "counters": {
            "sources": {
                source["name"]: {
                    "carriers": 0,
                    "units": 0,
                    "refused": 0,
                    "arrived": 0,
                    "lost": 0,
                }
                for source in layout["sources"]
            },
            "drains": {drain["name"]: {"carriers": {}, "units": {}} for drain in layout["drains"]},
            "joints": {
                name: {"offered": 0, "passed": [0] * count} for name, count in inlets.items()
            },
            "diverts": {
                divert["name"]: [0] * len(divert["outlets"]) for divert in layout["diverts"]
            },
            "stations": {
                name: {
                    "started": 0,
                    "ended": 0,
                    "busy": 0,
                    "blocked": 0,
                    "starved": {material: 0 for material, _ in recipe["inputs"]},
                    "down": 0,
                    "failed": 0,
                    "graded": [0] * len(recipe["grades"]),
                }
                for name, recipe in recipe_of.items()
            },
            "applicators": {
                applicator["name"]: {"carriers": 0, "units": 0, "spent": 0, "dry": 0, "late": 0}
                for applicator in layout["applicators"]
            },
            "picks": {picker["name"]: 0 for picker in layout["pickers"]},
            "missed": {},
            "put": {},
            "removed": {},
        },
    }


def read_state(document: Document) -> Document:
    """A working copy of `document`: fractions as numbers, and marks beside what is marked."""
    state: Document = json.loads(json.dumps(document, default=str))
    state["credits"] = {name: Fraction(credit) for name, credit in state["credits"].items()}
    for station in state["stations"].values():
        station["kept"] = {name: Fraction(part) for name, part in station["kept"].items()}
        station["inputs"] = by_mark(station["inputs"], station["marked"])
    for applicator in state["applicators"].values():
        applicator.update({key: Fraction(applicator[key]) for key in ("left", "credit")})
    for name, cells in state["belts"].items():
        for index, cell in enumerate(cells):
            if cell:
                cells[index] = [*cell, state["marks"].get(name, [0] * len(cells))[index]]
    state["stores"] = {
        name: by_mark(store, state["marked"].get(name, {}))
        for name, store in state["stores"].items()
    }
    return state


def by_mark(units: dict[str, int], marked: dict[str, list[int]]) -> dict[str, dict[int, int]]:
    """Units of each material by mark; `marked` holds those of mark 1, 2 and so on."""
    lots: dict[str, dict[int, int]] = {}
    for material, count in units.items():
        above = marked.get(material, [])
        lots[material] = {0: count - sum(above), **dict(enumerate(above, 1))}
    return lots


def write_state(state: Document) -> Document:
    """A copy of the working `state` as plain JSON values, fractions as text."""
    document: Document = json.loads(
        json.dumps({**state, "stations": {}, "stores": {}}, default=str)
    )
    for name, station in state["stations"].items():
        inputs, marked = in_all(station["inputs"])
        plain = {**station, "inputs": inputs, "marked": marked}
        document["stations"][name] = json.loads(json.dumps(plain, default=str))
    document["marked"] = {}
    for name, store in state["stores"].items():
        units, marked = in_all(store)
        document["stores"][name] = {material: count for material, count in units.items() if count}
        if marked:
            document["marked"][name] = marked
    document["marks"] = {}
    for name, cells in document["belts"].items():
        marks = [cell[2] if cell else 0 for cell in cells]
        document["belts"][name] = [cell and cell[:2] for cell in cells]
        if any(marks):
            document["marks"][name] = marks
    return document


def in_all(lots: dict[str, dict[int, int]]) -> tuple[dict[str, int], dict[str, list[int]]]:
    """Units of each material, and of those with marked ones the units of mark 1, 2 and so on."""
    units = {material: sum(lot.values()) for material, lot in lots.items()}
    marked = {}
    for material, lot in lots.items():
        highest = max((mark for mark, count in lot.items() if count), default=0)
        if highest:
            marked[material] = [lot.get(mark, 0) for mark in range(1, highest + 1)]
    return units, marked
