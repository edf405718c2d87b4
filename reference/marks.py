"""Marks: units kept apart by mark, and the applicators that mark carriers (2.5)."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from reference.site import Cells, Document, Site

Lot = dict[int, int]
"""Units by mark."""


def total(lot: Lot) -> int:
    """Units of all marks."""
    return sum(lot.values())


def add(lot: Lot, mark: int, count: int) -> None:
    """Put in `count` units of a mark."""
    lot[mark] = lot.get(mark, 0) + count


def take_lowest(lot: Lot, count: int) -> None:
    """Take out units, those of the lowest mark first."""
    for mark in sorted(lot):
        part = min(count, lot[mark])
        lot[mark] -= part
        count -= part


def lowest(lot: Lot) -> int:
    """The lowest mark of which there are units."""
    return min(mark for mark, units in lot.items() if units)


def coming_grade(site: Site, station: str) -> int:
    """The grade of the batch that the station would take now; it has all inputs of one."""
    grades, lots = site.grades[station], site.now["stations"][station]["inputs"]
    marks = [lowest(lots[material]) for material in site.inputs[station]]
    return min([*marks, len(grades)]) if marks else 0


def apply(site: Site, applicator: Document, cells: Cells) -> None:
    """2.5 An applicator marks the carrier on its cell, as far as agent and credit go."""
    name = applicator["name"]
    now, count = site.now["applicators"][name], site.now["counters"]["applicators"][name]
    if applicator["rate"] is not None:
        gain = Fraction(applicator["rate"]) * site.step_time[applicator["belt"]]
        now["credit"] = min(now["credit"] + gain, gain + site.largest_stack(applicator))
    carrier = cells[applicator["index"]]
    if carrier is None or carrier[2] >= applicator["level"]:
        return
    material, units, _ = carrier
    if applicator["materials"] and material not in applicator["materials"]:
        return
    dose = units * Fraction(applicator["dose"])
    if dose > now["held"] + now["left"]:
        count["dry"] += 1
    elif applicator["rate"] is not None and now["credit"] < units:
        count["late"] += 1
    else:
        opened = max(0, ceil(dose - now["left"]))
        now["held"] -= opened
        now["left"] += opened - dose
        count["spent"] += opened
        if applicator["rate"] is not None:
            now["credit"] -= units
        carrier[2] = applicator["level"]
        count["carriers"] += 1
        count["units"] += units
