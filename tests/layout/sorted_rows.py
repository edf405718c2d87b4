"""Rows of loops whose leftovers come back sorted, of any inputs."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from loopwright.layout.layout import Layout
from loopwright.model import Project
from tests.layout.design import example, placed


def sorted_kits(rows: int = 2, stations: int = 36, **choices: Any) -> Layout:
    """Rows of the example block with sorted loops."""
    rate = Fraction(rows * stations, 20)
    return placed(example("filter-kits.yaml", rate=rate, row=stations, gate="sorted", **choices))


def sorted_project(
    inputs: Mapping[str, int], stack: int = 1, stations: int = 6, rows: int = 2, **choices: Any
) -> Project:
    """The example block with other inputs, all bought in, `stack` units on a carrier."""
    base = example("filter-kits.yaml")
    tap, process = base.materials["tap"], base.processes["pack-kit"]
    kinds = {
        name: tap.model_copy(update={"stack": stack, "letter": name[0].upper(), "title": name})
        for name in inputs
    }
    settled = {"row": stations, "gate": "sorted", "architecture": "loop", "power_node": "none"}
    return base.model_copy(
        update={
            "materials": {"kit": base.materials["kit"], **kinds},
            "processes": {"pack-kit": process.model_copy(update={"inputs": dict(inputs)})},
            "demand": {"kit": Fraction(rows * stations, 20)},
            "choices": base.choices.model_copy(update=settled | choices),
            "site": base.site.model_copy(update={"height": 120}),
        }
    )
