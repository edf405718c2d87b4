"""Tables of the readings of a run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from loopwright.report.html import Html, join, paragraph, table
from loopwright.report.number import NONE, counted, figure, percent
from loopwright.simulate.reading.readings import (
    BeltReading,
    JointReading,
    MaterialBalance,
    SourceReading,
    Stock,
    TimeShares,
)

Titles = Mapping[str, str]

ACCOUNT = (
    "Account of all units: start, put by docks and made come in; used and taken by drains go out; "
    "the rest is held at the end"
)


def row_shares(rows: Sequence[TimeShares], titles: Titles) -> Html:
    """Busy, blocked and starved shares of each row."""
    missing = [name for name in titles if any(name in row.starved for row in rows)]
    heads = ("Row", "Stations", "Busy", "Blocked", *(f"Wait for {titles[m]}" for m in missing))
    cells = [
        (
            row.name or "stations",
            str(row.stations),
            percent(row.busy),
            _share(row.blocked),
            *(_share(row.starved.get(name, Fraction(0))) for name in missing),
        )
        for row in rows
    ]
    numbers = range(1, 4 + len(missing))
    return table("Share of station time after the warm-up", heads, cells, numbers=numbers)


def joints(readings: Sequence[JointReading]) -> Html:
    """Slots offered and used at each gate, merge and side merge; plain joints are left out."""
    shown = [one for one in readings if one.kind == "side merge" or len(one.passed) > 1]
    if not shown:
        return paragraph("There are no gates, merges or side merges in this layout.")
    heads = ("Device", "Kind", "Steps", "Offered", "Passed", "Used", "Passed by inlet")
    cells = [
        (
            one.name,
            one.kind,
            counted(one.steps),
            counted(one.offered),
            counted(one.total),
            NONE if one.use is None else percent(one.use),
            "; ".join(f"{_short(inlet, one.name)} {counted(count)}" for inlet, count in one.passed),
        )
        for one in shown
    ]
    caption = "Steps of the belt, cells offered, carriers passed, after the warm-up"
    return table(caption, heads, cells, numbers=range(2, 6))


def docks(readings: Sequence[SourceReading], titles: Titles) -> Html:
    """What each dock supplied."""
    heads = ("Dock", "Material", "Carriers", "Units/s", "Loads that had to wait")
    cells = [
        (
            one.name,
            titles[one.material],
            counted(one.carriers),
            figure(one.rate),
            NONE if one.refused is None else percent(one.refused),
        )
        for one in readings
    ]
    return table("Supplies after the warm-up", heads, cells, numbers=range(2, 5))


def belts(readings: Sequence[BeltReading], titles: Titles) -> Html:
    """Fill and mix of each belt."""
    heads = ("Belt", "Role", "Cells", "Carriers", "Filled", "Units a carrier", "Units by material")
    cells = [
        (
            one.name,
            one.role,
            str(one.cells),
            str(sum(one.carriers.values())),
            percent(one.fill),
            NONE if one.load is None else figure(one.load),
            ", ".join(f"{titles[name]} {units}" for name, units in sorted(one.units.items()))
            or NONE,
        )
        for one in readings
    ]
    return table("Belts at the end of the run", heads, cells, numbers=range(2, 6))


def stock(readings: Sequence[Stock], titles: Titles) -> Html:
    """Units held at the end."""
    heads = ("Material", "On belts", "In hands", "In stations", "In stores", "In all")
    cells = [
        (
            titles[one.material],
            *map(counted, (one.belts, one.hands, one.stations, one.stores, one.units)),
        )
        for one in readings
    ]
    return table("Units held at the end", heads, cells, numbers=range(1, 6))


def account(balance: Sequence[MaterialBalance], titles: Titles) -> Html:
    """Units in = out + held, for every material, with the numbers."""
    heads = ("Material", "Start", "Put", "Made", "In", "Used", "Taken", "Held", "Out + held")
    cells = [
        (
            titles[one.material],
            *map(
                counted,
                (
                    one.start,
                    one.put,
                    one.made,
                    one.came,
                    one.used,
                    one.taken,
                    one.held,
                    one.used + one.taken + one.held,
                ),
            ),
        )
        for one in balance
    ]
    if all(one.holds for one in balance):
        sides = "; ".join(
            f"{titles[one.material]} {counted(one.came)} = {counted(one.used + one.taken)} + "
            f"{counted(one.held)}"
            for one in balance
        )
        told = f"Over the whole run, units in = out + held for every material: {sides}."
    else:
        wrong = ", ".join(titles[one.material] for one in balance if not one.holds)
        told = f"The account does not balance for {wrong}: this run cannot be trusted."
    return join(paragraph(told), table(ACCOUNT, heads, cells, numbers=range(1, 9)))


def _share(share: Fraction) -> str:
    return percent(share) if share else NONE


def _short(inlet: str, device: str) -> str:
    """The name of an inlet without the words that it shares with the device's own."""
    words, own = inlet.split(" "), device.split(" ")
    while len(words) > 1 and own and words[0] == own[0]:
        words, own = words[1:], own[1:]
    return " ".join(words)
