"""The balance of units: what went in = what went out + what is held, for every material."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import Any

Document = dict[str, Any]


def held(state: Document) -> Counter[str]:
    """Units of each material on belts, in hands, in stations and in stores."""
    units: Counter[str] = Counter()
    carriers = [cell for cells in state["belts"].values() for cell in cells if cell]
    hands = [hand for hand in state["pickers"].values() if hand["count"]]
    for material, count in carriers + [(hand["material"], hand["count"]) for hand in hands]:
        units[material] += count
    for station in state["stations"].values():
        units.update(station["inputs"])
        units.update(station["outlet"])
    for store in state["stores"].values():
        units.update(store)
    return units


def audit(layout: Document, start: Document, end: Document) -> None:
    """Hold the counters between two working states against the stock of each.

    Raises
    ------
    AssertionError
        Some material does not balance.
    """
    recipes = {recipe["name"]: recipe for recipe in layout["recipes"]}
    stock, left = held(start), held(end)
    came: Counter[str] = Counter()
    went: Counter[str] = Counter()
    made: dict[str, Fraction] = {}

    before, after = start["counters"], end["counters"]
    for side, units in (("put", came), ("removed", went)):
        units.update(after[side])
        units.subtract(before[side])
    for source in layout["sources"]:
        name = source["name"]
        came[source["material"]] += (
            after["sources"][name]["units"] - before["sources"][name]["units"]
        )
    for name in after["drains"]:
        went.update(after["drains"][name]["units"])
        went.subtract(before["drains"][name]["units"])
    for station in layout["stations"]:
        name, recipe = station["name"], recipes[station["recipe"]]
        then, now = before["stations"][name], after["stations"][name]
        for material, count in recipe["inputs"]:
            went[material] += count * (now["started"] - then["started"])
        for material, count in recipe["outputs"]:
            batches = count * Fraction(recipe["batch_yield"]) * (now["ended"] - then["ended"])
            kept_then = start["stations"][name]["kept"][material]
            kept_now = end["stations"][name]["kept"][material]
            made[material] = made.get(material, Fraction(0)) + kept_then + batches - kept_now

    for material in {*stock, *left, *came, *went, *made}:
        total_in = stock[material] + came[material] + made.get(material, 0)
        total_out = went[material] + left[material]
        if total_in != total_out:
            raise AssertionError(f"{material}: {total_in} in, {total_out} out and held")
