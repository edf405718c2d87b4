"""The readings of a run as tables for other programs."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from fractions import Fraction
from io import BytesIO, StringIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from loopwright.record import write_bytes
from loopwright.simulate import simulate_layout
from loopwright.simulate.folder.parquet import Table, write_parquet
from loopwright.simulate.folder.table import run_tables
from loopwright.studio.options import TablesOptions
from loopwright.studio.work.task import Task, scenario_of

MOST_ROWS = 1_048_575
"""Rows that a sheet of a workbook has room for below its head."""


def run(task: Task) -> None:
    """Run the scenario and write its tables: a zip of CSV or Parquet files, or a workbook."""
    laid, options = task.lay(), task.read_options(TablesOptions)
    span = None if options.hours is None else options.hours * 3600
    scenario = scenario_of(laid, options.scenario, span)
    show = task.part(f"simulating {scenario.name}", 0.0, 0.8)
    made = simulate_layout(laid.layout, scenario, progress=show)
    task.step(0.8, "writing tables")
    tables = run_tables(made)
    name = f"{task.stem}-{scenario.name}"
    if options.format == "xlsx":
        name += ".xlsx"
        write_bytes(task.path(name), workbook(tables))
    else:
        name += f"-{options.format}.zip"
        files = _csv_files(tables) if options.format == "csv" else _parquet_files(task, tables)
        write_bytes(task.path(name), _zipped(files))
    counts = {key: len(table.rows) for key, table in tables.items()}
    task.result("tables", laid, {"file": name, "ended": made.ended, "rows": counts})


def _csv_files(tables: Mapping[str, Table]) -> dict[str, bytes]:
    files = {}
    for key, table in tables.items():
        text = StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow([column for column, _ in table.columns])
        writer.writerows([_plain(value) for value in row] for row in table.rows)
        files[f"{key}.csv"] = text.getvalue().encode("utf-8")
    return files


def _parquet_files(task: Task, tables: Mapping[str, Table]) -> dict[str, bytes]:
    files = {}
    for key, table in tables.items():
        path = task.home / f"{key}.parquet"
        write_parquet(path, table)
        files[path.name] = path.read_bytes()
        path.unlink()
    return files


def _zipped(files: Mapping[str, bytes]) -> bytes:
    """All files in one archive; the same files give the same bytes."""
    data = BytesIO()
    with ZipFile(data, "w", ZIP_DEFLATED) as archive:
        for name, content in files.items():
            entry = ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = ZIP_DEFLATED
            archive.writestr(entry, content)
    return data.getvalue()


def workbook(tables: Mapping[str, Table]) -> bytes:
    """A workbook with a sheet a table. Texts stay texts, whatever sign they begin with."""
    import xlsxwriter

    data = BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(data, options) as book:
        head = book.add_format({"bold": True, "bottom": 1})
        for key, table in tables.items():
            sheet = book.add_worksheet(key[:31])
            sheet.freeze_panes(1, 0)
            for column, (name, kind) in enumerate(table.columns):
                sheet.write_string(0, column, name, head)
                sheet.set_column(column, column, 28 if kind == "text" else 12)
            for row, values in enumerate(table.rows[:MOST_ROWS], start=1):
                for column, value in enumerate(values):
                    if isinstance(value, str):
                        sheet.write_string(row, column, value)
                    elif value is not None:
                        sheet.write_number(row, column, float(value))
    return data.getvalue()


def _plain(value: object) -> object:
    return float(value) if isinstance(value, Fraction) else value
