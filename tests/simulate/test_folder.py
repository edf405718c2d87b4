"""A run in a folder is the run that was put there."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.record import Origin
from loopwright.simulate import simulate_layout
from loopwright.simulate.folder import RunFolderError, load_run, read_saved, save_run, table_path
from loopwright.simulate.folder.parquet import Table, read_parquet, write_parquet
from tests.layouts.plants import one_of_each
from tests.simulate.test_course import plan, same

TARGET = Fraction(1, 3)


def test_a_run_comes_back_and_goes_on(tmp_path: Path) -> None:
    layout = one_of_each()
    run = simulate_layout(layout, plan(103))
    save_run(tmp_path / "run", run, TARGET, Origin("test"))
    back = load_run(tmp_path / "run", layout)
    assert same(back, run)
    assert same(simulate_layout(layout, plan(203), past=back), simulate_layout(layout, plan(203)))


def test_a_folder_is_made_twice_with_the_same_bytes(tmp_path: Path) -> None:
    layout = one_of_each()
    for name in ("one", "other"):
        save_run(tmp_path / name, simulate_layout(layout, plan(203)), TARGET, Origin("test"))
    files = sorted(path.relative_to(tmp_path / "one") for path in (tmp_path / "one").rglob("*.*"))
    assert len(files) > 10
    for file in files:
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "other" / file).read_bytes()


def test_tables_hold_what_the_run_holds(tmp_path: Path) -> None:
    run = simulate_layout(one_of_each(), plan(203))
    save_run(tmp_path, run, TARGET, Origin("test"))
    assert set(read_saved(tmp_path)["tables"]) == {
        *("series", "belts", "stock", "cells"),
        *("stations", "starved", "joints", "sources", "pickers", "applicators"),
    }
    series = read_parquet(table_path(tmp_path, "series"))
    totals: dict[str, int] = {}
    for _, drain, _, units in series.rows:
        totals[drain] = totals.get(drain, 0) + units
    assert totals == {
        name: sum(sum(units.values()) for units in bins)
        for name, bins in run.bins.items()
        if any(bins)
    }
    cells = read_parquet(table_path(tmp_path, "cells"))
    held = sum(cell[1] for cells in run.end.belts.values() for cell in cells if cell)
    assert sum(row[-1] for row in cells.rows) == held


def test_a_table_without_rows_keeps_its_columns(tmp_path: Path) -> None:
    columns = (("name", "text"), ("count", "whole"), ("share", "number"))
    for rows in ([], [("a", 1, 0.5), ("b'\"; x", 2**60, 1.0)]):
        write_parquet(tmp_path / "t.parquet", Table(columns, rows))
        back = read_parquet(tmp_path / "t.parquet")
        assert back.columns == columns
        assert list(back.rows) == rows
    with pytest.raises(FileNotFoundError):
        read_parquet(tmp_path / "none.parquet")


def test_a_run_of_another_layout_is_refused(tmp_path: Path) -> None:
    layout = one_of_each()
    save_run(tmp_path, simulate_layout(layout, plan(103)), TARGET, Origin("test"))
    with pytest.raises(RunFolderError, match="another layout"):
        load_run(tmp_path, replace(layout, title="another"))


def test_a_run_stopped_in_its_warm_up_is_kept_too(tmp_path: Path) -> None:
    layout = one_of_each()
    run = simulate_layout(layout, replace(plan(203), span=Fraction(30)))
    save_run(tmp_path, run, TARGET, Origin("test"))
    assert "readings" not in read_saved(tmp_path)["run"]
    assert same(
        simulate_layout(layout, plan(203), past=load_run(tmp_path, layout)),
        simulate_layout(layout, plan(203)),
    )
