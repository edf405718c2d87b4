"""`loopwright report`: the whole design as one page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from loopwright.cli.option import AsJson, LayoutFile, ProjectFile

EXAMPLES = (
    ("loopwright report bakery.yaml", "writes bakery.html beside it, with every scenario run"),
    ("loopwright report bakery.yaml --out out/bakery.html", "writes it elsewhere"),
    ("loopwright report bakery.yaml --scenario steady", "runs one scenario only"),
)


def run(
    file: ProjectFile,
    out: Annotated[
        Path | None,
        typer.Option(metavar="PATH", help="Where to write it.", show_default="FILE with .html"),
    ] = None,
    scenario: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Run this scenario only; may be given again."),
    ] = None,
    layout: LayoutFile = None,
    as_json: AsJson = False,
) -> int:
    """Write the whole design as one page: plan, block, drawing, runs.

    Ends with 1 where a run stays more than 1 % below the demand (with outages: in its last
    quarter), or jams.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import (
        design_findings,
        design_project,
        named_scenarios,
        run_scenario,
    )
    from loopwright.prove import prove_loops
    from loopwright.prove.recover import best_cards
    from loopwright.report import write_report
    from loopwright.simulate.reading.target import target_met

    project = open_project(file)
    names = named_scenarios(project, scenario or ())
    design = design_project(project, layout)
    runs = [run_scenario(design, name) for name in names]
    target = out or file.with_suffix(".html")
    findings = design_findings(file, design)
    verdicts = prove_loops(design.layout)
    design_of = (project, design.plan, design.block, design.layout)
    write_report(target, *design_of, runs, findings, verdicts, best_cards(design.layout, verdicts))
    met = all(target_met(each, design.target) for each in runs)
    if as_json:
        body = {"file": str(target), "scenarios": names, "target_met": met}
        write_document("report", project_digest(project), {"scenarios": names}, body)
    else:
        typer.echo(f"Report written to {target}")
    return 0 if met else 1
