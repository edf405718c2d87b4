"""`loopwright demo`: the story from one file to a report, stage by stage."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson

if TYPE_CHECKING:
    from loopwright.layout import Design
    from loopwright.simulate.run import Run

EXAMPLES = (
    ("loopwright demo", "designs the example block in the folder out/demo"),
    ("loopwright demo --out try", "does it in the folder try"),
)

PROJECT = "filter-kits.yaml"


def run(
    out: Annotated[Path, typer.Option(metavar="FOLDER", help="Folder for what is made.")] = Path(
        "out/demo"
    ),
    as_json: AsJson = False,
) -> int:
    """Design the example block from text to report, telling the story.

    A relief plant packs household water-filter kits. All files land in one folder: project,
    drawing and report. A project file that is there already is used as it stands.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import (
        design_findings,
        design_project,
        proof_story,
        run_scenario,
    )
    from loopwright.drawing import draw_layout, sheet_svg
    from loopwright.prove import prove_loops
    from loopwright.prove.recover import best_cards
    from loopwright.record import write_text
    from loopwright.report import write_report
    from loopwright.simulate.reading.target import target_met

    story: list[dict[str, str]] = []

    def tell(stage: str, text: str) -> None:
        story.append({"stage": stage, "text": text})
        if not as_json:
            typer.echo("\n  ".join([stage, *text.splitlines()]) + "\n")

    file = _project_file(out)
    project = open_project(file)
    tell("Project", f"{project.project.about}\n{file}")
    design = design_project(project)
    tell("Plan", _plan_story(design))
    tell("Block", design.block.reason)
    tell("Layout", _layout_story(design))
    drawing, report = out / "layout.svg", out / "report.html"
    write_text(drawing, sheet_svg(draw_layout(design.layout)))
    verdicts = prove_loops(design.layout)
    cards = best_cards(design.layout, verdicts)
    tell("Loops", proof_story(verdicts))
    runs = []
    for name in project.scenarios:
        runs.append(run_scenario(design, name))
        tell(f"Run {name}", _run_story(design, runs[-1]))
    findings = design_findings(file, design)
    design_of = (project, design.plan, design.block, design.layout)
    write_report(report, *design_of, runs, findings, verdicts, cards)
    tell("Report", f"{report}\n{drawing}")
    if as_json:
        body = {"story": story, "files": [str(path) for path in (file, drawing, report)]}
        write_document("demo", project_digest(project), {}, body)
    return 0 if all(target_met(each, design.target) for each in runs) else 1


def _project_file(folder: Path) -> Path:
    """The project in `folder`; the example is put there where none is."""
    from loopwright.model.example import example_path
    from loopwright.record import write_text

    folder.mkdir(parents=True, exist_ok=True)
    file = folder / PROJECT
    if not file.exists():
        write_text(file, example_path(PROJECT).read_text(encoding="utf-8"))
    return file


def _plan_story(design: Design) -> str:
    from loopwright.exact import format_fraction, format_rate

    project = design.project
    lines = [
        f"{format_rate(entry.cycles)} cycles of {project.processes[entry.process].title}: "
        f"{format_fraction(entry.stations)} -> {entry.whole} x "
        f"{project.equipment.stations[entry.station].title}"
        for entry in design.plan.processes
    ]
    lines += [
        f"{format_rate(entry.imported)} of {project.materials[entry.material].title} come in"
        for entry in design.plan.materials
        if entry.imported
    ]
    return "\n".join(lines)


def _layout_story(design: Design) -> str:
    layout = design.layout
    cells = sum(len(belt.path) for belt in layout.belts)
    return (
        f"{len(layout.stations)} stations, {len(layout.pickers)} pickers, {len(layout.belts)} "
        f"belts of {cells} cells, {len(layout.gates)} gates: all free, joined and in reach"
    )


def _run_story(design: Design, run: Run) -> str:
    from loopwright.simulate.reading import final_rate, read_run
    from loopwright.simulate.reading.text import figure, percent

    readings = read_run(run)
    share = percent(readings.rate / design.target)
    hours = figure(run.ticks * run.tick / 3600)
    lines = [
        f"{figure(readings.rate)} of {figure(design.target)} units/s ({share}); "
        f"{hours} h of plant time in {run.wall:.1f} s"
    ]
    after = final_rate(run)
    if run.scenario.outages and after is not None:
        lines.append(f"{percent(after / design.target)} in the last quarter, after the outage")
    return "\n".join(lines)
