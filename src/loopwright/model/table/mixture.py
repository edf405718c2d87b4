"""Amounts of materials in one cell, such as "2 candle + 1 tap"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from loopwright.finding import Finding, new_finding
from loopwright.model.source import Mapping, Scalar
from loopwright.model.table.cell import Cell

FORM = "a whole number and a name, with + between materials, such as 2 candle + 1 tap"
_PART = re.compile(r"(?P<amount>\S+)[ \xa0\n]+(?P<name>\S+)")


def read_mixture(cell: Cell) -> tuple[Mapping, list[Finding]]:
    """Units by material, each where it stands, and what is wrong; faulty where anything is."""
    mixture = Mapping(cell.spot)
    findings: list[Finding] = []
    for part, offset in _parts(cell.text):
        spot = cell.spot_at(offset)
        found = _PART.fullmatch(part)
        if found is None:
            findings.append(_unreadable(part, cell, offset))
            continue
        name = found["name"]
        key = cell.spot_at(offset + found.start("name"))
        if name in mixture.entries:
            message = f"{name[:40]!r} stands here again in the same cell"
            remedy = "add the two amounts up"
            findings.append(new_finding("LW106", message, key.place(), value=name, remedy=remedy))
            continue
        mixture.entries[name] = Scalar(spot, found["amount"])
        mixture.keys[name] = key
    mixture.size = 1 + len(mixture.entries)
    mixture.faulty = bool(findings)
    return mixture, findings


def _parts(text: str) -> Iterator[tuple[str, int]]:
    """What stands between plus signs, and where it begins."""
    at = 0
    for piece in text.split("+"):
        lead = len(piece) - len(piece.lstrip())
        yield piece.strip(), at + lead
        at += len(piece) + 1


def _unreadable(part: str, cell: Cell, offset: int) -> Finding:
    shown = repr(part[:40])
    remedy = None
    if not part:
        message = "an amount is missing beside a +"
    elif re.fullmatch(r"[A-Za-z]\S*", part):
        message = f"{shown} has no amount"
        remedy = f"write '1 {part[:40]}' if it is one"
    elif re.fullmatch(r"[0-9]+", part):
        message = f"{shown} says no material"
    else:
        message = f"{shown} is not an amount of a material"
    place = cell.spot_at(offset).place()
    return new_finding("LW167", message, place, value=part[:80], allowed=FORM, remedy=remedy)
