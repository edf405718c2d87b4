"""The stages, run one after the other, for the commands that need several."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from loopwright.finding import Finding
    from loopwright.layout import Design, Layout
    from loopwright.model import Project
    from loopwright.prove import Verdict
    from loopwright.simulate.run import Run


def design_project(project: Project, file: Path | None = None) -> Design:
    """Plan, block and layout of `project`; the layout from `file` where one is given.

    Raises
    ------
    DesignError
        A stage cannot go on, or the layout in the file has errors; the findings say why and what
        to do.
    BadInputError
        The file cannot be read as a layout.
    """
    from loopwright import layout

    return layout.design_project(project, None if file is None else given_layout(file))


def given_layout(path: Path) -> Layout:
    """The layout in the file `path`; errors as `design_project`."""
    from loopwright.cli.ending import BadInputError
    from loopwright.cli.project import file_digest
    from loopwright.finding import DesignError, Severity
    from loopwright.layout import check_layout
    from loopwright.layout.read import read_layout

    layout, findings = read_layout(path)
    if layout is None:
        raise BadInputError(findings, file_digest(path))
    faults = tuple(f for f in check_layout(layout) if f.severity is Severity.ERROR)
    if faults:
        raise DesignError(faults)
    return layout


def named_scenarios(project: Project, wanted: Iterable[str]) -> list[str]:
    """The scenarios `wanted`, or all of them where none is named.

    Raises
    ------
    typer.BadParameter
        The project has no scenario of such a name.
    """
    names = list(dict.fromkeys(wanted))
    for name in names:
        if name not in project.scenarios:
            known = ", ".join(project.scenarios)
            raise typer.BadParameter(f"there is no scenario {name!r}; the file has: {known}.")
    return names or list(project.scenarios)


def run_scenario(design: Design, name: str) -> Run:
    """Run the scenario `name` with a progress bar."""
    from loopwright.cli.progress import run_progress
    from loopwright.simulate import simulate_layout
    from loopwright.simulate.scenario import project_scenario

    scenario = project_scenario(design.project, name, design.layout)
    with run_progress(f"simulating {name}") as show:
        run = simulate_layout(design.layout, scenario, progress=show)
    if run.ended == "interrupted":
        raise KeyboardInterrupt
    return run


def proof_story(verdicts: Sequence[Verdict]) -> str:
    """What is known of all loops, in a line."""
    loops = len({verdict.loop for verdict in verdicts})
    if not loops:
        return "There are no loops."
    told = []
    for question in dict.fromkeys(verdict.question for verdict in verdicts):
        outcomes = [verdict.outcome for verdict in verdicts if verdict.question == question]
        counts = [f"{outcomes.count(one)} {one}" for one in dict.fromkeys(outcomes)]
        told.append(f"{question}: {', '.join(counts)}")
    return f"{loops} loops: {'; '.join(told)}"


def design_findings(file: Path, design: Design) -> tuple[Finding, ...]:
    """Warnings about the project in `file` and what follows from it."""
    from loopwright import layout
    from loopwright.model import check_project

    return (*check_project(file)[1], *layout.design_findings(design))
