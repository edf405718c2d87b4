"""Tables as Parquet files, written and read by DuckDB."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

KINDS = {"text": "VARCHAR", "whole": "BIGINT", "number": "DOUBLE"}


@dataclass(frozen=True, slots=True)
class Table:
    """Columns by name, each with its kind (text, whole or number), and rows."""

    columns: tuple[tuple[str, str], ...]
    rows: Sequence[tuple[Any, ...]]


def write_parquet(path: Path, table: Table) -> None:
    """Write `table`; an old file stays until the new one is complete.

    Raises
    ------
    OSError
        The file cannot be written.
    """
    names = [name for name, _ in table.columns]
    types = {"text": object, "whole": np.int64, "number": np.float64}
    columns: Any = list(zip(*table.rows, strict=True)) or [()] * len(names)
    arrays = {
        name: np.array([_number(value, kind) for value in column], types[kind])
        for (name, kind), column in zip(table.columns, columns, strict=True)
    }
    casts = ", ".join(
        f'CAST("{name}" AS {KINDS[kind]}) AS "{name}"' for name, kind in table.columns
    )
    part = path.with_name(f".{path.name}.part")
    try:
        with _session() as base:
            base.register("given", arrays)
            base.sql(f"SELECT {casts} FROM given").write_parquet(str(part), compression="zstd")  # noqa: S608
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def read_parquet(path: Path) -> Table:
    """The table in the file at `path`.

    Raises
    ------
    FileNotFoundError
        There is no such file.
    """
    if not path.is_file():
        raise FileNotFoundError(2, "no such table", str(path))
    kinds = {name: kind for kind, name in KINDS.items()}
    with _session() as base:
        found = base.read_parquet(str(path))
        types = [kinds.get(str(kind), "text") for kind in found.types]
        return Table(tuple(zip(found.columns, types, strict=True)), found.fetchall())


def _session() -> Any:
    """A session with DuckDB, to be closed. All share a base: to make one takes 20 ms."""
    return _base().cursor()


@cache
def _base() -> Any:
    import duckdb

    return duckdb.connect(config={"threads": 1})


def _number(value: Any, kind: str) -> Any:
    return float(value) if kind == "number" else value
