"""Small sites at random: sizes, obstacles, architectures, sides, rows, supplies."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from loopwright.model import Project
from loopwright.model.site import Obstacle
from tests.layout.design import example


@st.composite
def sites(draw: st.DrawFn) -> Project:
    """A project of two or three dozen stations on a site that may or may not hold them."""
    project = example(
        draw(st.sampled_from(("check-block.yaml", "filter-kits.yaml"))),
        rate=Fraction(draw(st.integers(1, 6))),
        architecture=draw(st.sampled_from(("auto", "plain", "loop", "pass"))),
        sides=draw(st.sampled_from(("auto", "double", "single"))),
        row=draw(st.sampled_from(("auto", 2, 3, 5, 8, 12))),
        supply=draw(st.sampled_from(("docks", "trunks", "trunks"))),
        flow=draw(st.sampled_from(("auto", "west"))),
        gate=draw(st.sampled_from(("auto", "counted", "windowed", "scarcest-first"))),
        power_node=draw(st.sampled_from(("none", "none", "auto"))),
        maintenance_gap=draw(st.sampled_from((None, None, 1, 3))),
    )
    width, height = draw(st.integers(30, 200)), draw(st.integers(20, 300))
    stones = [
        Obstacle(
            x=draw(st.integers(0, width - 8)),
            y=draw(st.integers(0, height - 8)),
            width=draw(st.integers(1, 8)),
            height=draw(st.integers(1, 8)),
        )
        for _ in range(draw(st.integers(0, 4)))
    ]
    kind, key = _station(project)
    kind = kind.model_copy(
        update={"width": draw(st.integers(1, 5)), "height": draw(st.integers(1, 4))}
    )
    junctions = project.equipment.junctions
    bridge = junctions.bridge.model_copy(update={"span": draw(st.integers(1, 5))})
    equipment = project.equipment.model_copy(
        update={
            "stations": {**project.equipment.stations, key: kind},
            "junctions": junctions.model_copy(update={"bridge": bridge}),
        }
    )
    site = project.site.model_copy(
        update={
            "width": width,
            "height": height,
            "margin": draw(st.integers(0, 4)),
            "obstacles": tuple(stones),
        }
    )
    return project.model_copy(update={"site": site, "equipment": equipment})


def _station(project: Project) -> tuple[Any, str]:
    product = next(iter(project.demand))
    process = next(p for p in project.processes.values() if product in p.outputs)
    return project.equipment.stations[process.station], process.station
