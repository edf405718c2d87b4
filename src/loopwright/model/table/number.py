"""Numbers in tables: decimal points and commas, and units in the head of a column.

Nothing is rounded: a number is turned into the text that a project file would have.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from loopwright.exact import UNITS
from loopwright.finding import Finding, new_finding
from loopwright.model.field import Quantity
from loopwright.model.source import Spot
from loopwright.model.table.cell import Cell
from loopwright.model.table.kind import Column

_BARE = re.compile(r"[+-]?([0-9]+ +)?[0-9]+([.,][0-9]+| */ *[0-9]+)?")
_MARKED = re.compile(r"(?<![0-9.,])(?P<whole>[0-9]+)(?P<mark>[.,])(?P<decimals>[0-9]+)(?![0-9.,])")
_BOTH = re.compile(r"[0-9]+[.,][0-9]+[.,][0-9]")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")


@dataclass(frozen=True, slots=True)
class Marks:
    """How a table writes decimals: the marks of which that is sure.

    Sure are numbers like 2,5 and 0,125. A number like 1,250 may be thousands.
    """

    sure: frozenset[str]

    def point_text(self, cell: Cell) -> str | Finding:
        """The cell with a decimal point, or why it cannot be read."""
        if _BOTH.search(cell.text):
            message = f"{cell.text[:40]!r} has two marks in one number"
            return new_finding("LW166", message, cell.spot.place(), value=cell.text[:80])
        found = _MARKED.search(cell.text)
        if found is None:
            return cell.text
        if len(self.sure) == 2:
            message = f"{cell.text[:40]!r}: the table has decimal points and decimal commas"
            remedy = "write all numbers of the table with the same mark"
            place = cell.spot.place()
            return new_finding("LW166", message, place, value=cell.text[:80], remedy=remedy)
        if found["mark"] not in self.sure and _THOUSANDS.fullmatch(found.group()):
            digits = found["whole"] + found["decimals"]
            short = f"{found['whole']}{found['mark']}{found['decimals']}0"
            message = f"{cell.text[:40]!r} may be {digits} or a number with decimals"
            remedy = f"write {digits} or {short}"
            place = cell.spot.place()
            return new_finding("LW166", message, place, value=cell.text[:80], remedy=remedy)
        return cell.text.replace(",", ".")


def marks_of(cells: Iterable[Cell], delimiter: str) -> Marks:
    """What the numbers of a table show; with commas between cells, a point is sure."""
    sure = set()
    for cell in cells:
        for found in _MARKED.finditer(cell.text):
            if not _THOUSANDS.fullmatch(found.group()):
                sure.add(found["mark"])
    if delimiter == "," and "," not in sure:
        sure.add(".")
    return Marks(frozenset(sure))


def head_unit(column: Column, unit: str, spot: Spot) -> Finding | None:
    """What is wrong with `unit` in the head of `column`; None where it is right."""
    rule = column.rule
    place = spot.place()
    head = f"the column {column.name!r}"
    if isinstance(rule, Quantity):
        kind = UNITS[rule.unit]
        if unit.replace(" ", "") in kind.factors:
            return None
        if kind.shown:
            message = f"{unit!r} is no unit of {head}, which holds {kind.noun}"
            allowed = ", ".join(kind.shown)
            return new_finding("LW115", message, place, value=unit, allowed=allowed)
    elif rule is not None and unit in (rule.unit, rule.unit.rstrip("s")):
        return None
    message = f"{head} has no unit, but its head says {unit!r}"
    return new_finding("LW115", message, place, value=unit, remedy="take the unit out of the head")


def with_unit(text: str, unit: str) -> str:
    """A bare number with the unit of its column's head; any other text as it is."""
    return f"{text} {unit}".strip() if _BARE.fullmatch(text) else text


def lacks_unit(column: Column, text: str) -> bool:
    """Whether a bare number stands where a unit is needed."""
    rule = column.rule
    if not isinstance(rule, Quantity) or "" in UNITS[rule.unit].factors:
        return False
    return _BARE.fullmatch(text) is not None and re.fullmatch(r"[+-]?0+", text) is None
