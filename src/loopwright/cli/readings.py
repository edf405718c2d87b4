"""`loopwright readings`: what runs that were kept gave, without running them again."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from loopwright.cli.option import AsJson

if TYPE_CHECKING:
    from loopwright.simulate.folder.parquet import Table

EXAMPLES = (
    ("loopwright readings runs", "shows all runs kept in the folder runs"),
    ("loopwright readings runs/steady --table stations", "one table of one run"),
    ("loopwright readings runs/steady --table series --csv", "the same as CSV, for a spreadsheet"),
)


def run(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Runs, or one of them.", show_default=False)
    ],
    table: Annotated[
        str | None, typer.Option(metavar="NAME", help="Show this table; a wrong name lists all.")
    ] = None,
    csv: Annotated[
        bool, typer.Option("--csv", help="Print a table as CSV: --table, else the rate series.")
    ] = False,
    as_json: AsJson = False,
) -> int:
    """Show runs that `simulate --out` kept."""
    from loopwright.cli.output import write_document
    from loopwright.cli.run_text import replications_text, run_text
    from loopwright.simulate.folder import RunFolderError, read_saved

    folders = _run_folders(folder)
    if table is not None or csv:
        if as_json:
            raise typer.BadParameter("--json prints the readings; a table is printed with --csv.")
        if len(folders) != 1:
            names = ", ".join(str(each) for each in folders)
            raise typer.BadParameter(f"a table is of one run; there are: {names}.")
        found = _table(folders[0], table or "series")
        typer.echo(_csv_text(found) if csv else _text(found), nl=not csv)
        return 0
    try:
        saved = [read_saved(each) for each in folders]
    except RunFolderError as error:
        raise typer.BadParameter(str(error)) from error
    runs = [each["run"] for each in saved]
    if as_json:
        origin = saved[0]["origin"]
        write_document("run", origin["input"], origin["parameters"], {"runs": runs})
    else:
        typer.echo("\n\n".join([*map(run_text, runs), *replications_text(runs)]))
    return 0


def _run_folders(folder: Path) -> list[Path]:
    from loopwright.cli.runs import read_index
    from loopwright.simulate.folder.folder import RUN

    if (folder / RUN).exists():
        return [folder]
    return [folder / entry["folder"] for entry in read_index(folder)["runs"]]


def _table(folder: Path, name: str) -> Table:
    from loopwright.simulate.folder import read_saved, table_path
    from loopwright.simulate.folder.parquet import read_parquet

    names = read_saved(folder)["tables"]
    if name not in names:
        raise typer.BadParameter(f"there is no table {name!r}; the run has: {', '.join(names)}.")
    return read_parquet(table_path(folder, name))


def _text(table: Table) -> str:
    from loopwright.cli.output import table_text

    heads = [name for name, _ in table.columns]
    return table_text(heads, [[_cell(value) for value in row] for row in table.rows])


def _cell(value: Any) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def _csv_text(table: Table) -> str:
    import csv
    from io import StringIO

    file = StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow([name for name, _ in table.columns])
    writer.writerows(table.rows)
    return file.getvalue()
