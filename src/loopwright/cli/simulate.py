"""`loopwright simulate`: what happens to every item."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile

if TYPE_CHECKING:
    from fractions import Fraction
    from typing import Any

    from loopwright.simulate.reading.readings import TimeShares
    from loopwright.simulate.run import Run

EXAMPLES = (
    ("loopwright simulate bakery.yaml", "runs every scenario of the file"),
    ("loopwright simulate bakery.yaml --scenario outage", "runs one of them"),
    ("loopwright simulate bakery.yaml --json > runs.json", "readings, exact, for programs"),
)

MOST_LIMITS = 3
"""Limits shown to people; the document holds all."""


def run(
    file: ProjectFile,
    scenario: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Run this scenario only; may be given again."),
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Run scenarios item by item on the placed layout.

    Ends with 1 where a run stays more than 1 % below the demand (with outages: in its last
    quarter), or jams.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project, named_scenarios, run_scenario, target_met

    project = open_project(file)
    names = named_scenarios(project, scenario or ())
    design = design_project(project)
    runs = [run_scenario(design, name) for name in names]
    if as_json:
        body = {"runs": [run_document(each, design.target) for each in runs]}
        write_document("run", project_digest(project), {"scenarios": names}, body)
    else:
        typer.echo("\n\n".join(run_text(each, design.target) for each in runs))
    return 0 if all(target_met(each, design.target) for each in runs) else 1


def run_document(run: Run, target: Fraction) -> dict[str, Any]:
    """Readings and limits of one run for programs; `target` [units/s]."""
    from loopwright.cli.output import plain_document
    from loopwright.simulate.reading.count import read_run
    from loopwright.simulate.reading.limit import jammed, limits

    readings = read_run(run)
    return {
        "scenario": plain_document(run.scenario),
        "tick": str(run.tick),
        "ticks": run.ticks,
        "breaks": list(run.breaks),
        "target": str(target),
        "rate": str(readings.rate),
        "jammed": jammed(run),
        "limits": [plain_document(limit) for limit in limits(run, target)],
        "readings": plain_document(readings),
    }


def run_text(run: Run, target: Fraction) -> str:
    """What one run gave, for people; `target` [units/s]."""
    from loopwright.cli.output import table_text
    from loopwright.exact import format_fraction
    from loopwright.simulate.reading.count import read_run
    from loopwright.simulate.reading.limit import limits
    from loopwright.simulate.reading.text import figure, percent

    readings = read_run(run)
    share = readings.rate / target
    lines = [
        f"{run.scenario.name}: {figure(readings.rate)} of {figure(target)} units/s, "
        f"{percent(share)}, over {format_fraction(readings.span)} s after the warm-up",
        *_after(run, target),
        f"{run.ticks} ticks of {run.tick} s from {run.scenario.start}, "
        f"run in {run.wall:.2f} s; units in = out + held for every material",
    ]
    rows = [(row.name, str(row.stations), percent(row.busy), *_waits(row)) for row in readings.rows]
    told = limits(run, target)
    told_lines: list[str] = []
    for limit in told[:MOST_LIMITS]:
        told_lines += [f"! {limit.sentence}", *(f"    {reason}" for reason in limit.because)]
    if len(told) > MOST_LIMITS:
        told_lines.append(f"  and {len(told) - MOST_LIMITS} more, in --json")
    table = table_text(("row", "stations", "busy", "blocked", "starved", "of"), rows)
    return "\n".join([*lines, "", table, *told_lines])


def _after(run: Run, target: Fraction) -> list[str]:
    from loopwright.simulate.reading import final_rate
    from loopwright.simulate.reading.text import percent

    rate = final_rate(run)
    if not run.scenario.outages or rate is None:
        return []
    return [f"in the last quarter, after the outage: {percent(rate / target)}"]


def _waits(row: TimeShares) -> tuple[str, str, str]:
    from loopwright.simulate.reading.text import percent

    most = sorted(row.starved, key=lambda name: (-row.starved[name], name))
    return percent(row.blocked), percent(row.waiting), ", ".join(most[:3]) or "-"
