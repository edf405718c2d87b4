"""Runs that are kept: written, shown again, gone on with, repeated."""

from __future__ import annotations

import csv
import json
from fractions import Fraction
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from loopwright.simulate.trace import Trace
from tests.cli.typed import type_in


@pytest.fixture
def runs(starter: Path) -> Path:
    """The first scenario of the starter, ten minutes of it, kept with its trace."""
    folder = starter.with_name("runs")
    typed = type_in(
        "simulate", starter, "--scenario", "steady", "--hours", "1/6", "--out", folder, "--trace"
    )
    assert typed.code == 0
    assert str(folder) in typed.out
    return folder


def saved(folder: Path) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((folder / "run.json").read_text("utf-8"))
    return document


def test_a_kept_run_is_shown_as_it_was(starter: Path, runs: Path) -> None:
    shown = type_in("readings", runs)
    assert shown.code == 0
    told = type_in("simulate", starter, "--scenario", "steady", "--hours", "1/6").out
    kept = [line for line in told.splitlines() if "ticks of" not in line]
    assert all(line in shown.out for line in kept)
    assert "ticks of" in shown.out
    document = type_in("readings", runs, "--json").document
    again = type_in("simulate", starter, "--scenario", "steady", "--hours", "1/6", "--json")
    assert document["runs"] == again.document["runs"]


def test_files_begin_with_kind_version_and_origin(runs: Path) -> None:
    for name, kind in (("index.json", "runs"), ("steady/run.json", "saved-run")):
        document = json.loads((runs / name).read_text("utf-8"))
        assert list(document)[:3] == ["kind", "version", "origin"]
        assert document["kind"] == kind
        assert document["origin"]["parameters"]["span"] == "600"
    with Trace.open(runs / "steady" / "cells.trace") as trace:
        assert trace.head["kind"] == "trace"
        assert len(trace) == 6001


def test_tables_are_printed_for_people_and_as_csv(runs: Path) -> None:
    one = runs / "steady"
    for table in saved(one)["tables"]:
        assert type_in("readings", one, "--table", table).code == 0
    printed = type_in("readings", runs, "--csv").out
    rows = list(csv.DictReader(StringIO(printed)))
    bins = saved(one)["run"]["readings"]["series"]
    assert sum(int(row["units"]) for row in rows) == sum(
        Fraction(rate) * (Fraction(end) - Fraction(begin))
        for begin, end, rate in zip(["0", *bins["ends"]], bins["ends"], bins["rates"], strict=False)
    )
    wrong = type_in("readings", runs, "--table", "nothing")
    assert wrong.code == 2
    assert "stations" in wrong.err


def test_a_run_that_is_lengthened_is_the_long_run(starter: Path, runs: Path) -> None:
    typed = type_in("simulate", starter, "--resume", runs, "--hours", "1/2")
    assert typed.code == 0
    whole = starter.with_name("whole")
    type_in(
        "simulate", starter, "--scenario", "steady", "--hours", "1/2", "--out", whole, "--trace"
    )
    one, other = saved(runs / "steady"), saved(whole / "steady")
    for document in (one["run"], other["run"]):
        assert document["ticks"] * Fraction(document["tick"]) == 1800
    assert (
        one["run"]["rate"] == other["run"]["rate"]
        or one["run"]["scenario"]["bin"] != (other["run"]["scenario"]["bin"])
    )
    with (
        Trace.open(runs / "steady" / "cells.trace") as first,
        Trace.open(whole / "steady" / "cells.trace") as second,
    ):
        assert len(first) == len(second) == 18001
        assert (first.number(18000).codes == second.number(18000).codes).all()


def test_replications_have_seeds_of_their_own(starter: Path) -> None:
    folder = starter.with_name("many")
    typed = type_in(
        "simulate", starter, "--scenario", "steady", "--reps", 3, "--seed", 7, "--out", folder
    )
    assert typed.code == 0
    assert "3 replications" in typed.out
    assert "nothing in this scenario is drawn at random" in typed.out
    index = json.loads((folder / "index.json").read_text("utf-8"))
    assert [run["seed"] for run in index["runs"]] == [7, 8, 9]
    assert [run["folder"] for run in index["runs"]] == ["steady-1", "steady-2", "steady-3"]
    assert "3 replications" in type_in("readings", folder).out


def test_a_run_ends_at_full_rate(starter: Path) -> None:
    typed = type_in("simulate", starter, "--scenario", "steady", "--until", "full-rate", "--json")
    assert typed.code == 0
    (run,) = typed.document["runs"]
    assert run["ended"] == "full-rate"
    assert run["start_up"]["full_rate"] is not None


def test_a_warm_up_may_be_found(starter: Path) -> None:
    text = starter.read_text("utf-8").replace("warm_up: 2 min", "warm_up: auto")
    auto = starter.with_name("auto.yaml")
    auto.write_text(text, "utf-8")
    typed = type_in("simulate", auto, "--scenario", "steady")
    assert "MSER-5" in typed.out
    (run,) = type_in("simulate", auto, "--scenario", "steady", "--json").document["runs"]
    assert run["truncation"]["refused"] is False


@pytest.mark.parametrize(
    "words",
    [
        ("--hours", "long"),
        ("--hours", "0"),
        ("--hours", "1/100"),
        ("--trace",),
        ("--resume", "nowhere"),
        ("--resume", "nowhere", "--reps", 2),
        ("--until", "noon"),
    ],
)
def test_orders_that_make_no_sense_are_bad_input(starter: Path, words: tuple[object, ...]) -> None:
    assert type_in("simulate", starter, *words).code == 2


def test_a_changed_project_is_not_gone_on_with(starter: Path, runs: Path) -> None:
    text = starter.read_text("utf-8")
    starter.write_text(text.replace("2 min", "1 min"), "utf-8")
    typed = type_in("simulate", starter, "--resume", runs)
    assert typed.code == 2
    assert "changed" in typed.err


def test_a_broken_folder_is_bad_input(starter: Path, runs: Path) -> None:
    samples = runs / "steady" / "samples.npz"
    samples.write_bytes(samples.read_bytes()[:-1])
    typed = type_in("simulate", starter, "--resume", runs, "--hours", 1)
    assert typed.code == 2
    assert "samples.npz" in typed.err
    assert type_in("readings", starter.with_name("nowhere")).code == 2
    (runs / "steady" / "run.json").write_text("{}", "utf-8")
    assert type_in("readings", runs).code == 2
