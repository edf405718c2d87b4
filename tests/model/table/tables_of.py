"""A project written as tables: the way back, for tests."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from typing import Any

from loopwright.model import Project

SECTIONS = ("materials", "processes", "stations", "belts", "pickers")


def tables_of(project: Project, delimiter: str = ",", comma: bool = False) -> dict[str, str]:
    """CSV text by kind of table; with `comma`, numbers have decimal commas."""
    document = project.document()
    parts = {
        "materials": document["materials"],
        "processes": document["processes"],
        **{kind: document["equipment"][kind] for kind in SECTIONS[2:]},
    }
    return {kind: _table(entries, delimiter, comma) for kind, entries in parts.items()}


def _table(entries: Mapping[str, Mapping[str, Any]], delimiter: str, comma: bool) -> str:
    columns = list(next(iter(entries.values())))
    rows = (
        [name, *(_cell(column, entry[column], comma) for column in columns)]
        for name, entry in entries.items()
    )
    return _text([["name", *columns], *rows], delimiter)


def _text(rows: Iterable[Iterable[str]], delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return out.getvalue()


def _cell(column: str, value: Any, comma: bool) -> str:
    if isinstance(value, dict):
        return " + ".join(f"{amount} {material}" for material, amount in value.items())
    text = "none" if value is None else str(value)
    free = column in ("title", "station", "letter")
    return text.replace(".", ",") if comma and not free else text
