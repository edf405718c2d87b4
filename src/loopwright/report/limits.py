"""What limits the rate, in words; rows that read alike are told once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from loopwright.report.html import Html, element, folded, join, paragraph
from loopwright.report.number import figure, several
from loopwright.report.verdict import Outcome
from loopwright.simulate.reading.limit import Limit
from loopwright.simulate.reading.text import listed

SHOWN = 6
"""Limits that are shown at once; the rest opens on demand."""


def limit_list(outcome: Outcome) -> Html:
    """All limits of a run, the largest loss first."""
    if not outcome.limits:
        return paragraph(
            "No row starved and none was blocked for 1 % of the time or more, and no output belt "
            "was full."
        )
    rows = [station.row for station in outcome.run.layout.stations if station.row]
    groups = alike(outcome.limits, list(dict.fromkeys(rows)))
    shown, rest = _points(groups[:SHOWN]), groups[SHOWN:]
    if not rest:
        return shown
    return join(shown, folded(f"{several(len(rest), 'limit')} more", _points(rest)))


def alike(limits: Sequence[Limit], rows: Sequence[str]) -> list[tuple[Limit, ...]]:
    """Limits that differ in the names of rows only, together; the largest loss in all first."""
    groups: dict[tuple[str, Fraction, str], list[Limit]] = {}
    names = sorted(rows, key=len, reverse=True)
    pattern = re.compile("|".join(f"{re.escape(name)}(?![0-9])" for name in names) or "(?!)")
    for limit in limits:
        seen: dict[str, str] = {}
        text = pattern.sub(
            lambda found, seen=seen: seen.setdefault(found[0], f"\0{len(seen)}"),  # type: ignore[misc]
            "\n".join((limit.sentence, *limit.because)),
        )
        groups.setdefault((limit.kind, limit.loss, text), []).append(limit)
    ranked = sorted(groups.values(), key=lambda group: _rank(group[0], len(group)))
    return [tuple(group) for group in ranked]


def _rank(limit: Limit, count: int) -> tuple[bool, Fraction]:
    return limit.kind != "jam", -limit.loss * count


def _points(groups: Sequence[Sequence[Limit]]) -> Html:
    return element("ol", map(_point, groups), class_="limits")


def _point(group: Sequence[Limit]) -> Html:
    first, others = group[0], group[1:]
    loss = sum((limit.loss for limit in group), Fraction(0))
    more = ""
    if others:
        places = listed([limit.place for limit in others])
        more = f" The same at {places}: {figure(first.loss)} units/s each."
    return element(
        "li",
        element("span", f"\u2212{figure(loss)}/s" if loss else "no loss", class_="loss"),
        element(
            "div",
            paragraph(first.sentence[:1].upper() + first.sentence[1:] + ".", more),
            element("ul", (element("li", reason) for reason in first.because))
            if first.because
            else None,
        ),
    )
