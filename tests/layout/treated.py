"""Small projects with a treatment at random: doses, rates, stacks, agents made or brought."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from loopwright.model import Project

NAMES = ("candle", "cap", "ring")


@st.composite
def treated(draw: st.DrawFn) -> Project:
    """A process of one to three inputs, all marked by an agent that a dock or a mixer brings."""
    count = draw(st.integers(1, 3))
    stack = st.sampled_from((1, 2, 4, 8))
    materials: dict[str, Any] = {name: {"stack": draw(stack)} for name in (*NAMES, "salt", "rinse")}
    materials["filter"] = {"stack": draw(st.sampled_from((2, 4, 8)))}
    agent = draw(st.sampled_from(("rinse", "rinse", "rinse", "rinse", "cap")))
    made = draw(st.booleans()) and agent == "rinse"
    processes: dict[str, Any] = {
        "join": {
            "station": "bench",
            "cycle": draw(st.sampled_from(("2 s", "3 s", "16/3 s", "10 s"))),
            "inputs": {name: draw(st.integers(1, 4)) for name in NAMES[:count]},
            "outputs": {"filter": draw(st.integers(1, 2))},
        }
    }
    if made:
        batch = draw(st.integers(1, 6))
        processes["stir"] = {
            "station": "mixer",
            "cycle": draw(st.sampled_from(("2 s", "5 s"))),
            "inputs": {"salt": 1},
            "outputs": {"rinse": batch},
        }
    treatment = {
        "agent": agent,
        "dose": draw(st.sampled_from(("0", "1/20", "1/7", "1/3", "1", "2"))),
        "processes": ["join"],
        "yield": draw(st.sampled_from(("3", "7/2", "5"))),
        "speed": draw(st.sampled_from(("1", "3/2"))),
        "rate": draw(st.sampled_from(("1/2 /s", "3/s", "10/s", "20/s", "64/s"))),
        "power": draw(st.sampled_from(("0 kW", "2 kW"))),
    }
    equipment: dict[str, Any] = {
        "stations": {
            "bench": {"width": draw(st.integers(1, 5)), "height": draw(st.integers(1, 4))},
            "mixer": {},
        },
        "belts": {"band": {"speed": draw(st.sampled_from((2, 5, 8)))}},
        "pickers": {
            "arm": {
                "swing": draw(st.sampled_from(("1/4 s", "1/2 s"))),
                "hand": draw(st.integers(1, 4)),
                "reach": draw(st.sampled_from((1, 3))),
            }
        },
        "junctions": {"bridge": {"span": draw(st.integers(1, 5))}},
        "power_nodes": {"pole": {"cover": 9, "span": 12}},
        "treatments": {"rinsing": treatment},
    }
    docks = []
    if draw(st.integers(0, 3)) == 0:
        side = draw(st.sampled_from(("north", "east", "south", "west")))
        name = draw(st.sampled_from(("candle", "rinse", "salt")))
        if not (made and name == "rinse"):
            docks.append({"material": name, "rate": "60/s", "side": side})
    return Project.model_validate(
        {
            "project": {"format": 1, "name": "Treated at random"},
            "materials": materials,
            "processes": processes,
            "equipment": equipment,
            "site": {
                "width": draw(st.integers(60, 200)),
                "height": draw(st.integers(40, 200)),
                "margin": draw(st.integers(0, 3)),
                "docks": docks,
            },
            "demand": {"filter": f"{draw(st.integers(1, 8))}/s"},
            "choices": {
                "scope": draw(st.sampled_from(("block", "site"))),
                "architecture": draw(st.sampled_from(("auto",) * 4 + ("plain", "loop", "pass"))),
                "sides": draw(st.sampled_from(("auto", "auto", "double", "single"))),
                "row": draw(st.sampled_from(("auto", "auto", "auto", 2, 4))),
                "flow": draw(st.sampled_from(("auto", "west"))),
                "gate": draw(st.sampled_from(("auto", "auto", "windowed", "sorted", "drained"))),
                "mix": draw(st.sampled_from(("auto", "auto", "auto", "mixer"))),
                "power_node": draw(st.sampled_from(("none", "auto"))),
                "objective": {"effort": 1, "imports": 1},
            },
        }
    )
