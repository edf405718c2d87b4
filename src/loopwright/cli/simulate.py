"""`loopwright simulate`: what happens to every item."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from loopwright.cli.option import AsJson, LayoutFile, ProjectFile

if TYPE_CHECKING:
    from fractions import Fraction

EXAMPLES = (
    ("loopwright simulate bakery.yaml", "runs every scenario of the file"),
    ("loopwright simulate bakery.yaml --scenario outage", "runs one of them"),
    ("loopwright simulate bakery.yaml --hours 8 --out runs", "runs 8 h each, and keeps the runs"),
    ("loopwright simulate bakery.yaml --resume runs", "goes on with runs that were interrupted"),
    ("loopwright simulate bakery.yaml --json > runs.json", "readings, exact, for programs"),
)

MOST_HOURS = 1000


def run(
    file: ProjectFile,
    scenario: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Run this scenario only; may be given again."),
    ] = None,
    hours: Annotated[
        str | None, typer.Option(metavar="H", help="Length of each run instead of the file's.")
    ] = None,
    reps: Annotated[
        int, typer.Option(min=1, max=1000, help="Replications, each with a seed of its own.")
    ] = 1,
    seed: Annotated[
        int | None,
        typer.Option(min=0, metavar="K", help="First seed, instead of the file's; then K+1 ..."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Keep the runs in this folder.")
    ] = None,
    trace: Annotated[
        bool, typer.Option("--trace", help="Keep what is on every cell too; needs --out.")
    ] = False,
    until: Annotated[
        Literal["full-rate", "jam"] | None, typer.Option(help="End a run when this is reached.")
    ] = None,
    resume: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Go on with the runs kept there; --hours lengthens."),
    ] = None,
    layout: LayoutFile = None,
    as_json: AsJson = False,
) -> int:
    """Run scenarios item by item on the placed layout.

    Ends with 1 where a run stays more than 1 % below the demand (with outages: in its last
    quarter), or jams.
    """
    from loopwright.cli.output import write_document
    from loopwright.cli.project import layout_digest, open_project, project_digest
    from loopwright.cli.run_text import replications_text, run_text
    from loopwright.cli.runs import Orders, carry_out, resumed
    from loopwright.cli.story import design_project, named_scenarios
    from loopwright.simulate.folder import RunFolderError
    from loopwright.simulate.reading.document import run_document
    from loopwright.simulate.reading.target import target_met
    from loopwright.simulate.trace.form import TraceError

    if resume is not None and (out or scenario or seed is not None or trace or reps != 1):
        raise typer.BadParameter("--resume takes FILE, --hours and --until only.")
    if trace and out is None:
        raise typer.BadParameter("--trace needs --out: where shall it go?")
    project = open_project(file)
    source = project_digest(project) if layout is None else layout_digest(project, layout)
    span = None if hours is None else _span(hours)
    if resume is None:
        names = tuple(named_scenarios(project, scenario or ()))
        orders = Orders(names, reps, seed, span, trace)
    else:
        orders = resumed(resume, source, span)
    design = design_project(project, layout)
    folder = resume or out
    try:
        runs = carry_out(design, orders, until, folder, source, go_on=resume is not None)
    except (RunFolderError, TraceError) as error:
        raise typer.BadParameter(str(error)) from error
    documents = [run_document(each, design.target) for each in runs]
    if as_json:
        write_document("run", source, orders.document(), {"runs": documents})
    else:
        texts = [run_text(told, each.wall) for told, each in zip(documents, runs, strict=True)]
        texts += replications_text(documents)
        typer.echo("\n\n".join(texts))
        if folder is not None:
            typer.echo(f"\nKept in {folder}; `loopwright readings {folder}` shows them again.")
    if any(each.ended == "interrupted" for each in runs):
        typer.echo("Interrupted: what is shown is what was done until then.", err=True)
        raise typer.Exit(130)
    return 0 if all(target_met(each, design.target) for each in runs) else 1


def _span(hours: str) -> Fraction:
    """`hours` in seconds."""
    from loopwright.exact import QuantityError, parse_quantity

    try:
        span = parse_quantity(hours.strip() + " h", "s")
    except QuantityError as error:
        raise typer.BadParameter(f"--hours {hours}: {error.problem}") from None
    if not 0 < span <= MOST_HOURS * 3600:
        raise typer.BadParameter(f"--hours {hours}: more than 0, at most {MOST_HOURS}.")
    return span
