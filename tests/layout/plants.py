"""Whole plants at random: a few processes that feed each other, docks, obstacles, a site."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from loopwright.model import Project

RAW = ("clay", "sheet", "rod")


@st.composite
def plants(draw: st.DrawFn) -> Project:
    """A project with a section for each of one to four processes, on a site that may or may not
    hold them."""
    known = list(RAW)
    processes: dict[str, dict[str, Any]] = {}
    for number in range(1, draw(st.integers(1, 4)) + 1):
        taken = draw(st.lists(st.sampled_from(known), min_size=1, max_size=3, unique=True))
        if number > 1 and not any(name in taken for name in known[len(RAW) :]):
            taken[0] = known[-1]
        given = {f"part-{number}": draw(st.integers(1, 8))}
        if draw(st.integers(0, 3)) == 0:
            given[f"scrap-{number}"] = draw(st.integers(1, 3))
        processes[f"make-{number}"] = {
            "station": draw(st.sampled_from(("small", "large"))),
            "cycle": f"{draw(st.integers(2, 20))} s",
            "inputs": {name: draw(st.integers(1, 6)) for name in taken},
            "outputs": given,
        }
        known += given
    used = {name for process in processes.values() for name in process["inputs"]}
    made = [name for name in known if name not in RAW]
    products = [made[-1] if "scrap" not in made[-1] else made[-2]]
    products += [name for name in made if name not in products and draw(st.integers(0, 5)) == 0]
    materials = [name for name in known if name in used or name in made]
    width, height = draw(st.integers(30, 180)), draw(st.integers(24, 180))
    return Project.model_validate(
        {
            "project": {"format": 1, "name": "Plant at random"},
            "materials": {name: {"stack": draw(st.sampled_from((1, 2, 4)))} for name in materials},
            "processes": processes,
            "equipment": _equipment(draw),
            "site": {
                "width": width,
                "height": height,
                "margin": draw(st.integers(0, 3)),
                "obstacles": [
                    {
                        "x": draw(st.integers(0, width - 8)),
                        "y": draw(st.integers(0, height - 8)),
                        "width": draw(st.integers(1, 8)),
                        "height": draw(st.integers(1, 8)),
                    }
                    for _ in range(draw(st.integers(0, 3)))
                ],
                "docks": _docks(draw, [name for name in RAW if name in used], width, height),
            },
            "demand": {name: f"{draw(st.integers(1, 30))}/10/s" for name in products},
            "choices": {
                "scope": "site",
                "process": next(key for key, p in processes.items() if products[0] in p["outputs"]),
                "power_node": draw(st.sampled_from(("none", "none", "auto"))),
                "maintenance_gap": draw(st.sampled_from(("none", "none", 2))),
                "flow": draw(st.sampled_from(("auto", "auto", "east", "west"))),
                "sides": draw(st.sampled_from(("auto", "double", "single"))),
            },
        }
    )


def _equipment(draw: st.DrawFn) -> dict[str, Any]:
    station = {"power": "3 kW"}
    sizes = st.integers(2, 4)
    return {
        "stations": {
            "small": {"width": draw(sizes), "height": draw(sizes), **station},
            "large": {"width": draw(st.integers(3, 6)), "height": draw(sizes), **station},
        },
        "belts": {"band": {"speed": f"{draw(st.integers(4, 12))} carriers/s"}},
        "pickers": {
            "arm": {"swing": "1/4 s", "hand": draw(st.integers(1, 3)), "reach": 3},
        },
        "junctions": {"bridge": {"span": draw(st.integers(2, 5))}},
        "power_nodes": {"pole": {"cover": 9, "span": 12}},
    }


def _docks(draw: st.DrawFn, raw: list[str], width: int, height: int) -> list[dict[str, Any]]:
    """Docks for some raw materials, at a cell, on a side, or wherever they suit."""
    found = []
    for material in raw:
        kind = draw(st.sampled_from(("none", "none", "any", "side", "at")))
        if kind == "none":
            continue
        dock: dict[str, Any] = {"material": material, "rate": f"{draw(st.integers(20, 400))}/s"}
        if kind == "side":
            dock["side"] = draw(st.sampled_from(("north", "east", "south", "west")))
        if kind == "at":
            across, down = draw(st.integers(0, width - 1)), draw(st.integers(0, height - 1))
            edge = draw(st.sampled_from(("0,{y}", "{x},0", "{right},{y}", "{x},{low}", "{x},{y}")))
            dock["at"] = edge.format(x=across, y=down, right=width - 1, low=height - 1)
        found.append(dock)
    return found
