"""`loopwright prove`: whether a loop can ever jam, and whether it recovers."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson, ProjectFile

if TYPE_CHECKING:
    from loopwright.model import Project

EXAMPLES = (
    ("loopwright prove bakery.yaml", "two verdicts for each loop, with their numbers"),
    ("loopwright prove bakery.yaml --gate open", "the same for another gate"),
    ("loopwright prove bakery.yaml --laws", "also safe outages, time to jam, rates, predicted"),
    (
        "loopwright prove bakery.yaml --certificate proof.txt",
        "writes what is proved, to be checked",
    ),
    (
        "loopwright prove bakery.yaml --remedy --write safe.yaml",
        "tries changes, writes the first that makes every loop safe",
    ),
    ("loopwright prove bakery.yaml --json > verdicts.json", "claims, jams and runs, for programs"),
)


class Rule(StrEnum):
    """Gates to choose from."""

    OPEN = "open"
    RATIO_LOCKED = "ratio-locked"
    COUNTED = "counted"
    WINDOWED = "windowed"
    SCARCEST_FIRST = "scarcest-first"
    DRAINED = "drained"
    SORTED = "sorted"


def run(
    file: ProjectFile,
    gate: Annotated[
        Rule | None, typer.Option(help="Try this gate in place of the file's.", show_default=False)
    ] = None,
    certificate: Annotated[
        Path | None,
        typer.Option(metavar="PATH", help="Write what is proved as a text that `verify` checks."),
    ] = None,
    laws: Annotated[
        bool, typer.Option("--laws", help="Also show what the laws predict, and what was measured.")
    ] = False,
    remedy: Annotated[
        bool, typer.Option("--remedy", help="Try out changes, and price them.")
    ] = False,
    write: Annotated[
        Path | None,
        typer.Option(metavar="PATH", help="With --remedy: write the first that helps to a file."),
    ] = None,
    as_json: AsJson = False,
) -> int:
    """Say of every loop whether it can jam and whether it recovers.

    What is proved holds for every run under the assumptions told. Ends with 1 where something is
    refuted: a run then shows it.
    """
    from loopwright.cli.laws import laws_text
    from loopwright.cli.output import write_document
    from loopwright.cli.project import open_project, project_digest
    from loopwright.cli.story import design_project
    from loopwright.layout import layout_document
    from loopwright.prove import Certificate, certificate_text, prove_loops
    from loopwright.prove.document import verdicts_document
    from loopwright.prove.law.document import laws_document
    from loopwright.prove.text import verdicts_text
    from loopwright.record import digest, write_text

    if write is not None and (not remedy or gate is not None):
        raise typer.BadParameter("--write goes with --remedy, and not with --gate.")
    project = with_gate(open_project(file), gate.value if gate else None)
    if remedy:
        return _remedies(file, project, write, as_json=as_json)
    layout = design_project(project).layout
    verdicts = prove_loops(layout)
    parameters = {"gate": gate.value} if gate else {}
    if certificate is not None:
        claims = tuple(verdict.claim for verdict in verdicts if verdict.claim is not None)
        noun = Certificate(digest(layout_document(layout)), parameters, claims)
        write_text(certificate, certificate_text(noun))
    if as_json:
        body = verdicts_document(verdicts)
        if laws:
            body["laws"] = laws_document(layout, verdicts)
        write_document("verdicts", project_digest(project), parameters, body)
    else:
        typer.echo(verdicts_text(verdicts))
        if laws:
            typer.echo(f"\n{laws_text(layout, verdicts)}")
        if certificate is not None:
            typer.echo(f"\nCertificate of {len(claims)} claims written to {certificate}")
    return 1 if any(verdict.outcome == "refuted" for verdict in verdicts) else 0


def _remedies(file: Path, project: Project, write: Path | None, *, as_json: bool) -> int:
    """Show what was tried; ends with 1 where nothing helps."""
    from loopwright.cli.output import write_document
    from loopwright.cli.progress import progress
    from loopwright.cli.project import project_digest
    from loopwright.cli.remedy import first_green, remedies_text, write_changed
    from loopwright.compare.remedies.offer import offer_for
    from loopwright.compare.remedies.remedy import remedies_document, try_remedies

    tried = []
    offer = offer_for(project, file.read_bytes().decode("utf-8"))
    with progress("trying changes") as show:
        for one in try_remedies(project, offer):
            tried.append(one)
            show(len(tried) / (1 + len(offer.candidates)))
    best = first_green(tried)
    if write is not None and best is not None:
        write_changed(file, write, best.change)
    if as_json:
        write_document(
            "remedies", project_digest(project), {}, remedies_document(tried, offer.advice)
        )
    else:
        typer.echo(remedies_text(tried, offer.advice))
        if write is not None and best is not None:
            typer.echo(f"Written to {write}")
    return 0 if best is not None else 1


def with_gate(project: Project, gate: str | None) -> Project:
    """`project` with another gate, if one is named."""
    if gate is None:
        return project
    choices = project.choices.model_copy(update={"gate": gate})
    return project.model_copy(update={"choices": choices})
