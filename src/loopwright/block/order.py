"""The order of flow: processes after those that make what they take."""

from __future__ import annotations

from collections.abc import Mapping

from loopwright.model.process import Process


def flow_order(
    processes: Mapping[str, Process], agents: Mapping[str, tuple[str, ...]] | None = None
) -> tuple[str, ...]:
    """`processes` from raw materials to products; `agents` are what they take beside their inputs.

    Always the first of those whose inputs are all made, or made by none. Where processes feed
    each other in a ring, the one with the smallest share of its inputs missing goes next.
    """
    left = dict(processes)
    order: list[str] = []
    while left:
        name = min(left, key=lambda key: _missing(key, left, agents or {}))
        order.append(name)
        del left[name]
    return tuple(order)


def _missing(
    name: str, left: Mapping[str, Process], agents: Mapping[str, tuple[str, ...]]
) -> tuple[bool, int]:
    """Whether inputs are still to be made by others, and how many."""
    others = {
        material for other, process in left.items() if other != name for material in process.outputs
    }
    taken = (*left[name].inputs, *agents.get(name, ()))
    missing = sum(material in others for material in taken)
    return missing > 0, missing
