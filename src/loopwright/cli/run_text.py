"""What a run gave, for people, from its document: the same when it is run and when it is shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

Document = Mapping[str, Any]

MOST_LIMITS = 3
"""Limits shown to people; the document holds all."""

ENDINGS = {
    "full-rate": "ended at full rate",
    "jam": "ended because nothing moved any more",
    "interrupted": "interrupted",
}


def run_text(run: Document, wall: float | None = None) -> str:
    """One run; `wall` [s] is what it took on this machine, if it was run just now."""
    from loopwright.cli.output import table_text
    from loopwright.exact import format_fraction
    from loopwright.simulate.reading.text import figure, percent

    scenario, target = run["scenario"], Fraction(run["target"])
    took = "" if wall is None else f"run in {wall:.2f} s; "
    span = format_fraction(run["ticks"] * Fraction(run["tick"]))
    ending = f"{ENDINGS[run['ended']]} after {span} s; " if run["ended"] in ENDINGS else ""
    counted = (
        f"{run['ticks']} ticks of {run['tick']} s from {scenario['start']}, {ending}{took}"
        "units in = out + held for every material"
    )
    if "readings" not in run:
        return f"{scenario['name']}: nothing to read, it ended in its warm-up\n{counted}"
    readings = run["readings"]
    rate = Fraction(run["rate"])
    lines = [
        f"{scenario['name']}: {figure(rate)} of {figure(target)} units/s, "
        f"{percent(rate / target)}, over {format_fraction(Fraction(readings['span']))} s after the "
        "warm-up",
        *_warm_up(run),
        *_after(run, target),
        *_interval(run["interval"]),
        *_start_up(run["start_up"]),
        counted,
    ]
    rows = [
        (row["name"], str(row["stations"]), *_shares(row), _missing(row))
        for row in readings["rows"]
    ]
    table = table_text(("row", "stations", "busy", "blocked", "starved", "of"), rows)
    return "\n".join([*lines, "", table, *run["notes"], *_limits(run["limits"])])


def replications_text(runs: Sequence[Document]) -> list[str]:
    """For each scenario that was run several times: the mean rate and its half width."""
    from loopwright.simulate.reading.interval import mean_interval
    from loopwright.simulate.reading.text import figure, percent

    by_name: dict[str, list[Fraction]] = {}
    for run in runs:
        if "rate" in run:
            by_name.setdefault(run["scenario"]["name"], []).append(Fraction(run["rate"]))
    texts = []
    for name, rates in by_name.items():
        if len(rates) < 2:
            continue
        interval = mean_interval(rates)
        half = figure(Fraction(interval.half_width))
        text = (
            f"{name}: {len(rates)} replications, mean {figure(interval.mean)} +- {half} units/s "
            f"({percent(interval.confidence)} confidence)"
        )
        if not interval.variance:
            text += "\nAll are equal: nothing in this scenario is drawn at random."
        texts.append(text)
    return texts


def _shares(row: Document) -> tuple[str, str, str]:
    from loopwright.simulate.reading.text import percent

    starved = sum((Fraction(share) for share in row["starved"].values()), Fraction(0))
    return percent(Fraction(row["busy"])), percent(Fraction(row["blocked"])), percent(starved)


def _missing(row: Document) -> str:
    starved = {name: Fraction(share) for name, share in row["starved"].items()}
    most = sorted(starved, key=lambda name: (-starved[name], name))
    return ", ".join(most[:3]) or "-"


def _warm_up(run: Document) -> list[str]:
    from loopwright.exact import format_fraction

    found = run["truncation"]
    if found is None:
        return []
    warm_up = format_fraction(Fraction(run["scenario"]["warm_up"]))
    if found["refused"]:
        return [
            f"warm-up not found: no steady state in the first half of the run. The first {warm_up} "
            "s were left out; run it longer"
        ]
    return [f"warm-up of {warm_up} s found by MSER-5"]


def _after(run: Document, target: Fraction) -> list[str]:
    from loopwright.simulate.reading.text import percent

    if not run["scenario"]["outages"] or run["final_rate"] is None:
        return []
    share = percent(Fraction(run["final_rate"]) / target)
    return [f"in the last quarter, after the outage: {share}"]


def _interval(interval: Document | None) -> list[str]:
    from loopwright.simulate.reading.text import figure, percent

    if interval is None:
        return []
    text = (
        f"mean of {interval['count']} batches {figure(Fraction(interval['mean']))} "
        f"+- {figure(Fraction(interval['half_width']))} units/s "
        f"({percent(Fraction(interval['confidence']))} confidence)"
    )
    if interval["correlated"]:
        text += "; the batches depend on each other: run it longer"
    return [text]


def _start_up(times: Document) -> list[str]:
    from loopwright.exact import format_fraction

    if times["first_product"] is None:
        return ["no product came"]
    text = f"first product after {format_fraction(Fraction(times['first_product']))} s"
    if times["full_rate"] is None:
        return [f"{text}, full rate not reached"]
    return [f"{text}, full rate after {format_fraction(Fraction(times['full_rate']))} s"]


def _limits(limits: Sequence[Document]) -> list[str]:
    lines: list[str] = []
    for limit in limits[:MOST_LIMITS]:
        lines += [f"! {limit['sentence']}", *(f"    {reason}" for reason in limit["because"])]
    if len(limits) > MOST_LIMITS:
        lines.append(f"  and {len(limits) - MOST_LIMITS} more, in --json")
    return lines
