"""Writing a run into a folder, and reading it back; docs/files/run.md describes the files.

`run.json` is written last: it names all other files with their digests, so that a folder whose
writing was cut off is seen as such.
"""

from __future__ import annotations

import json
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from pydantic import TypeAdapter, ValidationError

from loopwright.layout.document import layout_document
from loopwright.layout.layout import Layout
from loopwright.record import (
    HeaderError,
    Origin,
    bytes_digest,
    canonical_json,
    check_header,
    digest,
    header,
    write_bytes,
    write_text,
)
from loopwright.simulate.document import state_document, state_from_document
from loopwright.simulate.folder.parquet import write_parquet
from loopwright.simulate.folder.table import run_tables
from loopwright.simulate.reading.document import plain, run_document
from loopwright.simulate.run import Run
from loopwright.simulate.samples import ARRAYS, Samples
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import Counters

KIND, STATE_KIND = "saved-run", "run-state"
RUN, STATE, SAMPLES, TRACE, TABLES = (
    "run.json",
    "state.json.zst",
    "samples.npz",
    "cells.trace",
    "tables",
)
LEVEL = 3
"""Of compression of the state."""

MOST_STATE = 2_000_000_000
"""Bytes of a state; a file that holds more is not read."""


class RunFolderError(ValueError):
    """A folder holds no run, a broken one, or one of another layout."""


def save_run(folder: Path, run: Run, target: Fraction, origin: Origin) -> None:
    """Write `run` into `folder`, which is made if it is not there; `target` [units/s].

    A trace in the folder is left as it is.

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    (folder / TABLES).mkdir(exist_ok=True)
    document = run_document(run, target)
    files: dict[str, bytes] = {STATE: _state_bytes(run, origin)}
    if run.samples is not None:
        files[SAMPLES] = _samples_bytes(run.samples)
    for name, data in files.items():
        write_bytes(folder / name, data)
    tables = run_tables(run)
    for name, table in tables.items():
        write_parquet(table_path(folder, name), table)
    body = {
        "layout": digest(layout_document(run.layout)),
        "files": {name: bytes_digest(data) for name, data in files.items()},
        "tables": list(tables),
        "trace": (folder / TRACE).exists(),
        "run": document,
    }
    text = json.dumps(header(KIND, origin) | body, indent=2, ensure_ascii=False, allow_nan=False)
    write_text(folder / RUN, text + "\n")


def read_saved(folder: Path) -> dict[str, Any]:
    """What `run.json` in `folder` says.

    Raises
    ------
    OSError
        There is none.
    RunFolderError
        It is not of the kind and version that is written here.
    """
    try:
        document = json.loads((folder / RUN).read_text("utf-8"))
        check_header(document, KIND)
    except (UnicodeDecodeError, json.JSONDecodeError, HeaderError) as error:
        raise RunFolderError(f"{folder / RUN}: {error}") from error
    assert isinstance(document, dict)
    return document


def load_run(folder: Path, layout: Layout) -> Run:
    """The run of `layout` in `folder`, to be read or gone on with.

    Raises
    ------
    OSError
        A file is missing.
    RunFolderError
        The folder is broken, or of another layout.
    """
    saved = read_saved(folder)
    if saved.get("layout") != digest(layout_document(layout)):
        raise RunFolderError(f"{folder}: the run is of another layout")
    for name, expected in saved["files"].items():
        if name not in (STATE, SAMPLES) or bytes_digest((folder / name).read_bytes()) != expected:
            raise RunFolderError(f"{folder / name}: not the file that {RUN} tells of")
    try:
        state = json.loads(_unpacked((folder / STATE).read_bytes()))
        check_header(state, STATE_KIND)
        told = saved["run"]
        return Run(
            layout=layout,
            scenario=TypeAdapter(Scenario).validate_python(told["scenario"]),
            tick=Fraction(told["tick"]),
            ticks=told["ticks"],
            breaks=tuple(told["breaks"]),
            start=state_from_document(state["start"]),
            warm=TypeAdapter(Counters).validate_python(state["warm"]),
            end=state_from_document(state["end"]),
            bins={name: tuple(bins) for name, bins in state["bins"].items()},
            wall=0.0,
            ended=told["ended"],
            samples=_samples(state["samples"], folder / SAMPLES),
        )
    except (HeaderError, KeyError, TypeError, ValidationError, json.JSONDecodeError) as error:
        raise RunFolderError(f"{folder}: the run cannot be read: {error}") from error


def table_path(folder: Path, table: str) -> Path:
    """Where the table of that name lies."""
    return folder / TABLES / f"{table}.parquet"


def _state_bytes(run: Run, origin: Origin) -> bytes:
    import zstandard

    samples = run.samples
    body = {
        "start": state_document(run.start),
        "warm": plain(run.warm),
        "end": state_document(run.end),
        "bins": {name: [dict(units) for units in bins] for name, bins in run.bins.items()},
        "samples": None
        if samples is None
        else {
            "belts": samples.belts,
            "lengths": samples.lengths,
            "materials": samples.materials,
            "stations": samples.stations,
        },
    }
    text = canonical_json(header(STATE_KIND, origin) | body)
    return zstandard.ZstdCompressor(level=LEVEL).compress(text.encode("utf-8"))


def _unpacked(data: bytes) -> bytes:
    import zstandard

    try:
        size = zstandard.frame_content_size(data)
        if not 0 <= size <= MOST_STATE:
            raise RunFolderError(f"{STATE} would be {size} bytes")
        return zstandard.ZstdDecompressor().decompress(data)
    except zstandard.ZstdError as error:
        raise RunFolderError(f"{STATE} is broken: {error}") from error


def _samples_bytes(samples: Samples) -> bytes:
    file = BytesIO()
    np.savez_compressed(file, **{name: getattr(samples, name) for name in ARRAYS})
    return file.getvalue()


def _samples(names: dict[str, Any] | None, path: Path) -> Samples | None:
    if names is None:
        return None
    fields: dict[str, Any] = {name: tuple(entries) for name, entries in names.items()}
    with np.load(path) as arrays:
        fields |= {name: arrays[name] for name in ARRAYS}
    return Samples(**fields)
