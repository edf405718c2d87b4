"""The balance of units: what went in = what went out + what is held, for every material."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import Any

Document = dict[str, Any]


def held(layout: Document, state: Document) -> Counter[str]:
    """Units of each material on belts, in hands, stations, stores and tanks."""
    units: Counter[str] = Counter()
    for cells in state["belts"].values():
        for material, count, _ in filter(None, cells):
            units[material] += count
    for hand in state["pickers"].values():
        if hand["count"]:
            units[hand["material"]] += hand["count"]
    for station in state["stations"].values():
        units.update(station["outlet"])
    boxes = [station["inputs"] for station in state["stations"].values()]
    for lots in [*boxes, *state["stores"].values()]:
        for material, lot in lots.items():
            units[material] += sum(lot.values())
    for applicator in layout["applicators"]:
        units[applicator["agent"]] += state["applicators"][applicator["name"]]["held"]
    return units


def audit(layout: Document, start: Document, end: Document) -> None:
    """Hold the counters between two working states against the stock of each.

    Raises
    ------
    AssertionError
        Some material does not balance.
    """
    recipes = {recipe["name"]: recipe for recipe in layout["recipes"]}
    stock, left = held(layout, start), held(layout, end)
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
            graded = [b - a for a, b in zip(then["graded"], now["graded"], strict=True)]
            batches = Fraction(now["ended"] - then["ended"] - sum(graded))
            for grade, ended in zip(recipe["grades"], graded, strict=True):
                batches += Fraction(grade["batch_yield"]) * ended
            batches *= count * Fraction(recipe["batch_yield"])
            kept_then = start["stations"][name]["kept"][material]
            kept_now = end["stations"][name]["kept"][material]
            made[material] = made.get(material, Fraction(0)) + kept_then + batches - kept_now

    for applicator in layout["applicators"]:
        name, agent = applicator["name"], applicator["agent"]
        then, now = before["applicators"][name], after["applicators"][name]
        went[agent] += now["spent"] - then["spent"]
        marked = Fraction(applicator["dose"]) * (now["units"] - then["units"])
        left_then, left_now = (state["applicators"][name]["left"] for state in (start, end))
        if left_then + now["spent"] - then["spent"] != marked + left_now:
            raise AssertionError(f"{name}: {agent} does not balance")

    for material in {*stock, *left, *came, *went, *made}:
        total_in = stock[material] + came[material] + made.get(material, 0)
        total_out = went[material] + left[material]
        if total_in != total_out:
            raise AssertionError(f"{material}: {total_in} in, {total_out} out and held")
