"""`loopwright import`: a project file, or part of one, from tables."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from loopwright.cli.option import AsJson

if TYPE_CHECKING:
    from loopwright.model.table import Imported

EXAMPLES = (
    ("loopwright import materials.csv processes.csv", "prints what the tables hold as YAML"),
    ("loopwright import stations.csv belts.csv --out shop.yaml", "writes a catalogue of equipment"),
    ('loopwright import *.csv --name Kits --demand "kit: 60/min" --out kits.yaml', "a project"),
)


def run(
    tables: Annotated[
        list[Path],
        typer.Argument(metavar="TABLE...", help="Tables (CSV), in any order.", show_default=False),
    ],
    name: Annotated[
        str | None, typer.Option(metavar="TEXT", help="Name of the project.", show_default=False)
    ] = None,
    demand: Annotated[
        list[str] | None,
        typer.Option(metavar='"PRODUCT: RATE"', help="What must come out; may be given again."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="PATH", help="Where to write it.", show_default="print it"),
    ] = None,
    force: Annotated[
        bool, typer.Option("--force", help="Write over a file that is there already.")
    ] = False,
    as_json: AsJson = False,
) -> int:
    """Make a project file from tables (CSV).

    Each table is known by its columns: materials, processes, amounts, stations, belts, pickers.
    What is wrong is told all at once, and then nothing is written.
    """
    from loopwright.cli.ending import BadInputError
    from loopwright.cli.output import write_document, write_findings
    from loopwright.cli.project import file_digest
    from loopwright.model.table import import_tables
    from loopwright.record import digest, write_text

    wanted = [_demanded(text) for text in demand or ()]
    if out is not None:
        _check_target(out, force)
    digests = {str(path): file_digest(path) for path in tables}
    source = digest(digests)
    found = import_tables(tables, name, wanted, _origin(tables, digests))
    if found.text is None:
        raise BadInputError(found.findings, source)
    if out is not None:
        write_text(out, found.text)
    if as_json:
        parameters = {"name": name, "demand": dict(wanted)}
        write_document("import", source, parameters, _document(found, out))
        return 0
    if out is None:
        typer.echo(found.text, nl=False)
    else:
        typer.echo(f"{out} written: {_counted(found)}. {_next(found, out)}")
    if found.findings:
        write_findings(found.findings, as_json=False, err=True)
    return 0


def _demanded(text: str) -> tuple[str, str]:
    product, colon, rate = text.partition(":")
    if not colon or not product.strip() or not rate.strip():
        raise typer.BadParameter(
            f"{text!r} is no demand: write a product, a colon and a rate, such as 'kit: 60/min'."
        )
    return product.strip(), rate.strip()


def _check_target(out: Path, force: bool) -> None:
    if not out.parent.is_dir():
        raise typer.BadParameter(
            f"the folder {str(out.parent)!r} is not there: make it first, or name another."
        )
    if out.is_dir():
        raise typer.BadParameter(f"{str(out)!r} is a folder: name a file in it.")
    if out.exists() and not force:
        raise typer.BadParameter(
            f"{str(out)!r} is there already and is left as it is: give --force to write over it, "
            "or name another file."
        )


def _origin(tables: list[Path], digests: dict[str, str]) -> list[str]:
    """What the file was made from, for its head."""
    from loopwright import __version__

    lines = [f"loopwright {__version__} import, from:"]
    lines += [f"  {path.name}  {digests[str(path)][:23]}".rstrip() for path in tables]
    return lines


def _document(found: Imported, out: Path | None) -> dict[str, object]:
    from loopwright.finding import finding_document

    return {
        "file": None if out is None else str(out),
        "is": found.kind,
        "missing": list(found.missing) if found.kind == "part" else [],
        "counts": dict(found.counts),
        "findings": [finding_document(finding) for finding in found.findings],
        "text": found.text,
    }


def _counted(found: Imported) -> str:
    singular = {"processes": "process"}
    return ", ".join(
        f"{count} {section}" if count != 1 else f"1 {singular.get(section, section[:-1])}"
        for section, count in found.counts.items()
    )


def _next(found: Imported, out: Path) -> str:
    return {
        "project": f"Next: loopwright check {out}",
        "catalogue": f"Name it in a project as `equipment: {{use: {out.name}}}`.",
        "part": "Fill in the lines with TODO.",
    }[found.kind]
