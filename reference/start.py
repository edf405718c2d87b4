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
            }
            for name, recipe in recipe_of.items()
        },
        "pickers": {
            picker["name"]: {"phase": "idle", "material": None, "count": 0, "due": None}
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
                }
                for name, recipe in recipe_of.items()
            },
            "picks": {picker["name"]: 0 for picker in layout["pickers"]},
            "missed": {},
            "put": {},
            "removed": {},
        },
    }


def read_state(document: Document) -> Document:
    """A working copy of `document`, fractions as numbers."""
    state: Document = json.loads(json.dumps(document))
    state["credits"] = {name: Fraction(credit) for name, credit in state["credits"].items()}
    for station in state["stations"].values():
        station["kept"] = {name: Fraction(part) for name, part in station["kept"].items()}
    return state


def write_state(state: Document) -> Document:
    """A copy of the working `state` as plain JSON values, fractions as text."""
    document: Document = json.loads(json.dumps(state, default=str))
    return document
