"""`loopwright stress`: what a layout stands."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile
from loopwright.cli.prove import Rule, with_gate

EXAMPLES = (
    (
        "loopwright stress bakery.yaml",
        "late pickers, outages, wrong mixes, hands; a run each",
    ),
    ("loopwright stress bakery.yaml --outage '45 s' --outage '5 min'", "outages of these lengths"),
    ("loopwright stress bakery.yaml --gate open --csv rows.csv", "another gate; rows as a table"),
)


def run(
    file: ProjectFile,
    outage: Annotated[
        list[str] | None,
        typer.Option(metavar="SPAN", help="Length of outages; may be given again."),
    ] = None,
    shortage: Annotated[
        list[str] | None,
        typer.Option(metavar="SHARE", help="What is supplied of the need; may be given again."),
    ] = None,
    missed: Annotated[
        list[str] | None,
        typer.Option(metavar="SHARE", help="Part of picks that is missed; may be given again."),
    ] = None,
    spread: Annotated[
        list[str] | None,
        typer.Option(
            metavar="SHARE", help="How far cycles are off their mean; may be given again."
        ),
    ] = None,
    gate: Annotated[
        Rule | None, typer.Option(help="Try this gate in place of the file's.", show_default=False)
    ] = None,
    jobs: Annotated[
        int | None,
        typer.Option(min=1, max=256, help="Processes; as many as processors.", show_default=False),
    ] = None,
    csv: Annotated[
        Path | None, typer.Option(metavar="PATH", help="Also write the rows as a table.")
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Press a layout with outages, late pickers and wrong mixes.

    Ends with 1 where a loop stands for good, or stays more than 1 % below the undisturbed rate.
    Ctrl-C shows the rows that are finished.
    """
    from loopwright.cli.output import table_text, write_document
    from loopwright.cli.progress import run_progress
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project
    from loopwright.compare import run_cases, stress_cases
    from loopwright.compare.stress.battery import HEADS
    from loopwright.compare.stress.case import MISSED, OUTAGES, SHORTAGES, SPREADS
    from loopwright.record import write_text

    spans = _read("--outage", outage, "s", Fraction(3600000)) or OUTAGES
    shares = _read("--shortage", shortage, "", Fraction(1)) or SHORTAGES
    late = _read("--missed", missed, "", Fraction(99, 100)) or MISSED
    spreads = _read("--spread", spread, "", Fraction(1)) or SPREADS
    project = with_gate(open_project(file), gate.value if gate else None)
    layout = design_project(project).layout
    cases = stress_cases(layout, spans, shares, late, spreads)
    with run_progress("pressing") as show:
        found = run_cases(layout, cases, jobs=jobs, progress=show)
    if csv is not None:
        write_text(csv, found.csv())
    if as_json:
        parameters = {
            "gate": gate and gate.value,
            "outages": [str(span) for span in spans],
            "shortages": [str(share) for share in shares],
            "missed": [str(share) for share in late],
            "spreads": [str(share) for share in spreads],
        }
        write_document("stress", project_digest(project), parameters, found.document())
    else:
        typer.echo(table_text(HEADS, found.table()))
        typer.echo("\n" + "\n".join(found.sentences()))
    if not found.whole:
        raise typer.Exit(130)
    return 1 if found.jams or found.losses else 0


def _read(
    option: str, texts: Sequence[str] | None, unit: str, most: Fraction
) -> tuple[Fraction, ...]:
    """Quantities above 0 in `unit`."""
    from loopwright.exact import QuantityError, parse_quantity

    found = []
    for text in texts or ():
        try:
            value = parse_quantity(text, unit)
        except QuantityError as error:
            raise typer.BadParameter(f"{option} {text}: {error}") from None
        if not 0 < value <= most:
            raise typer.BadParameter(f"{option} {text}: more than 0, at most {most}.")
        found.append(value)
    return tuple(dict.fromkeys(found))
