"""Small projects for the tests of this folder."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from loopwright.model import Project


def project(
    processes: Mapping[str, Mapping[str, Any]], demand: Mapping[str, Any], **more: Any
) -> Project:
    """A project with these processes; cycles of 1 s on a station `shop`, unless said otherwise.

    Materials are those that processes name; `materials` gives more about them.
    """
    named = dict.fromkeys(demand)
    for process in processes.values():
        named.update(dict.fromkeys((*process["outputs"], *process.get("inputs", {}))))
    about = more.pop("materials", {})
    return Project.model_validate(
        {
            "project": {"format": 1, "name": "Sample"},
            "materials": {name: about.get(name, {}) for name in named},
            "processes": {
                name: {"station": "shop", "cycle": "1 s", **process}
                for name, process in processes.items()
            },
            "equipment": more.pop("equipment", equipment()),
            "demand": {name: f"{Fraction(rate)}/s" for name, rate in demand.items()},
            **more,
        }
    )


def equipment(**shop: Any) -> dict[str, Any]:
    """One kind of station, belt and picker."""
    return {
        "stations": {"shop": shop},
        "belts": {"band": {"speed": "10 carriers/s"}},
        "pickers": {"arm": {"swing": "1/2 s"}},
    }
