"""One part for each run: what came out, where it was lost, and the account of every unit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from loopwright.drawing import RowShares, rate_chart, share_bars
from loopwright.report.figure import chart
from loopwright.report.html import Html, element, folded, join, paragraph
from loopwright.report.limits import limit_list
from loopwright.report.number import amount, percent, several
from loopwright.report.run_tables import account, belts, docks, joints, row_shares, stock
from loopwright.report.section import Section
from loopwright.report.verdict import Outcome, badge
from loopwright.simulate.reading.readings import Readings
from loopwright.simulate.reading.text import listed
from loopwright.simulate.run import Run


def run_section(outcome: Outcome, number: int, titles: Mapping[str, str]) -> Section:
    """The part of run `number` (from 1); `titles` of materials for people."""
    run, readings = outcome.run, outcome.readings
    parts = [
        element(
            "div",
            badge(outcome.state),
            paragraph(outcome.sentence),
            class_=f"verdict {outcome.state}",
        ),
        paragraph(*_conditions(run, titles)),
    ]
    if readings is not None:
        parts += filter(None, _readings(outcome, readings, f"run{number}", titles))
    note = "What came out, where time was lost, and where every unit went."
    return Section(f"run-{number}", f"Run: {run.scenario.name}", note, join(parts))


def _readings(
    outcome: Outcome, readings: Readings, prefix: str, titles: Mapping[str, str]
) -> Iterator[Html | None]:
    yield _rate_chart(outcome, readings, prefix)
    yield element("h3", "What limits the rate")
    yield _together(readings)
    yield limit_list(outcome)
    yield element("h3", "Where station time went")
    yield _share_chart(outcome.run, readings, prefix)
    yield folded("The same as a table", row_shares(readings.rows, titles))
    yield element("h3", "Gates and merges")
    yield joints(readings.joints)
    yield folded("Supply docks", docks(readings.sources, titles))
    yield folded("Belts at the end", belts(readings.belts, titles))
    yield element("h3", "Audit")
    yield account(readings.balance, titles)
    yield folded("Where the stock is at the end", stock(readings.stocks, titles))
    if outcome.run.breaks:
        yield paragraph(
            "Belts that feed each other in a ring have no natural first; these were taken as such: "
            f"{listed(outcome.run.breaks)}.",
            class_="hint",
        )


def _together(readings: Readings) -> Html | None:
    """How all stations together spent their time."""
    count = sum(row.stations for row in readings.rows)
    if not count:
        return None
    busy = sum((row.busy * row.stations for row in readings.rows), Fraction(0)) / count
    blocked = sum((row.blocked * row.stations for row in readings.rows), Fraction(0)) / count
    return paragraph(
        f"All {several(count, 'station')} together were busy {percent(busy)} of the time, blocked "
        f"{percent(blocked)} and without material {percent(1 - busy - blocked)}. The loss told is "
        f"what the stations named would have made in the time they waited."
    )


def _conditions(run: Run, titles: Mapping[str, str]) -> Iterator[str]:
    scenario = run.scenario
    yield f"Start {scenario.start}; {amount(run.ticks * run.tick)} s"
    yield f", of which the first {amount(scenario.warm_up)} s are left out of the readings"
    if run.truncation is not None:
        refused = "no steady state was found in the first half; run it longer"
        yield f" ({refused if run.truncation.refused else 'found by MSER-5'})"
    yield ". "
    yield f"One tick is {amount(run.tick)} s."
    yield from _outages(run, titles)


def _outages(run: Run, titles: Mapping[str, str]) -> Iterator[str]:
    """Outages in words; docks of one material that stop together make one."""
    materials = {source.name: source.material for source in run.layout.sources}
    docks: dict[str, int] = {}
    for material in materials.values():
        docks[material] = docks.get(material, 0) + 1
    stops: dict[tuple[Fraction, Fraction, str], list[str]] = {}
    for outage in run.scenario.outages:
        key = (outage.start, outage.span, materials[outage.source])
        stops.setdefault(key, []).append(outage.source)
    for (start, span, material), names in stops.items():
        whole = len(set(names)) == docks[material] > 1
        who = f"All docks of {titles[material]}" if whole else listed(names)
        yield f" {who} stopped from {amount(start)} to {amount(start + span)}\u00a0s."


def _rate_chart(outcome: Outcome, readings: Readings, prefix: str) -> Html:
    svg = rate_chart(
        [float(end) for end in readings.series.ends],
        [float(rate) for rate in readings.series.rates],
        float(outcome.target),
        theme="page",
        prefix=f"{prefix}-rate",
    )
    caption = (
        f"What all product drains took together, in bins of {amount(outcome.run.scenario.bin)} s, "
        f"against the target of {amount(outcome.target)} units/s."
    )
    return chart(svg, caption)


def _share_chart(run: Run, readings: Readings, prefix: str) -> Html:
    rows = [
        RowShares(
            row.name or "stations",
            float(row.busy),
            float(row.blocked),
            {name: float(share) for name, share in row.starved.items()},
        )
        for row in readings.rows
    ]
    svg = share_bars(
        rows,
        run.layout.materials,
        theme="page",
        prefix=f"{prefix}-shares",
        title="Share of time, by row",
    )
    return chart(svg, "After the warm-up; starved by the material that was missing.")
