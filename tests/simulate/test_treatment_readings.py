"""Readings, samples and traces of a plant with an applicator: what is marked is still there."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from loopwright.layout.document import layout_document
from loopwright.record import Origin
from loopwright.simulate import simulate_layout
from loopwright.simulate.folder import save_run, table_path
from loopwright.simulate.folder.parquet import read_parquet
from loopwright.simulate.reading.count import read_run
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.trace import Trace, TraceWriter
from reference.simulate import Plant
from tests.layouts.plants import sprayed

PLAN = Scenario("wax", "empty", Fraction(400), Fraction(100), Fraction(10))


def test_an_applicator_is_read() -> None:
    run = simulate_layout(sprayed(), PLAN)
    plain = Plant(layout_document(sprayed()))
    plain.run(100)
    warm = plain.state()["counters"]["applicators"]["spray"]
    plain.run(300)
    end = plain.state()["counters"]["applicators"]["spray"]
    (reading,) = read_run(run).applicators
    count = {name: end[name] - warm[name] for name in end}
    steps = count["carriers"] + count["dry"] + count["late"]
    assert count["carriers"] > 0
    assert count["dry"] > 0
    assert reading.carriers == count["carriers"]
    assert reading.rate == Fraction(count["units"], 300)
    assert reading.spent == Fraction(count["spent"], 300)
    assert reading.dry == Fraction(count["dry"], steps)
    assert reading.late == Fraction(count["late"], steps)


def test_both_grades_are_run_and_the_account_holds() -> None:
    run = simulate_layout(sprayed(), PLAN)
    station = run.end.counters.stations["m"]
    assert 0 < station.graded[0] < station.ended
    for entry in read_run(run).balance:
        assert entry.holds, entry.material
    agent = next(entry for entry in read_run(run).balance if entry.material == "W")
    assert agent.used == run.end.counters.applicators["spray"].spent > 0


def test_samples_and_stock_count_marked_units() -> None:
    run = simulate_layout(sprayed(), PLAN)
    assert run.samples is not None
    assert any(run.end.marks.values())
    for number, name in enumerate(run.samples.belts):
        cells = [cell for cell in run.end.belts[name] if cell]
        for column, material in enumerate(run.samples.materials):
            there = sum(cell[0] == material for cell in cells)
            assert run.samples.carriers[-1][number][column] == there
    for stock in read_run(run).stocks:
        column = run.samples.materials.index(stock.material)
        assert run.samples.stock[-1][:, column].tolist() == [
            stock.belts,
            stock.hands,
            stock.stations,
            stock.stores,
        ]


def test_traces_name_the_material_of_marked_carriers(tmp_path: Path) -> None:
    writer = TraceWriter(tmp_path / "run.trace", Origin("test"), Fraction(1))
    run = simulate_layout(sprayed(), PLAN, trace=writer)
    with Trace.open(tmp_path / "run.trace") as trace:
        assert trace.number(len(trace) - 1).belts == run.end.belts


def test_a_run_that_goes_on_is_that_which_never_stopped() -> None:
    whole = simulate_layout(sprayed(), PLAN)
    for stop in (1, 3, 17, 39):
        first = simulate_layout(
            sprayed(), Scenario("wax", "empty", Fraction(stop * 10), Fraction(100), Fraction(10))
        )
        gone_on = simulate_layout(sprayed(), PLAN, past=first)
        assert gone_on.end == whole.end


def test_it_has_a_table(tmp_path: Path) -> None:
    run = simulate_layout(sprayed(), PLAN)
    save_run(tmp_path, run, Fraction(1), Origin("test"))
    (row,) = read_parquet(table_path(tmp_path, "applicators")).rows
    assert row[:3] == ("spray", "lane", "W")
