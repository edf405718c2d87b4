"""The order of flow: processes after those that make what they take."""

from __future__ import annotations

from collections.abc import Mapping

from loopwright.model.process import Process


def flow_order(processes: Mapping[str, Process]) -> tuple[str, ...]:
    """`processes` from raw materials to products.

    Always the first of those whose inputs are all made, or made by none. Where processes feed
    each other in a ring, the one with the smallest share of its inputs missing goes next.
    """
    left = dict(processes)
    order: list[str] = []
    while left:
        name = min(left, key=lambda key: _missing(key, left))
        order.append(name)
        del left[name]
    return tuple(order)


def _missing(name: str, left: Mapping[str, Process]) -> tuple[bool, int]:
    """Whether inputs are still to be made by others, and how many."""
    others = {
        material for other, process in left.items() if other != name for material in process.outputs
    }
    missing = sum(material in others for material in left[name].inputs)
    return missing > 0, missing
