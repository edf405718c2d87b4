"""What limits a rate: small plants of which the answer is known."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.simulate.reading.limit import Limit, jammed, limits, worst_stretch
from loopwright.simulate.reading.readings import TimeShares
from loopwright.simulate.reading.text import (
    by_material,
    figure,
    listed,
    percent,
    rounded,
    station_range,
)
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Outage
from tests.layouts.build import Build
from tests.simulate.recorded import recorded, scenario

LONG = scenario(240, 60)


def fed_station(
    *,
    supply: Fraction | int | None = None,
    cycle: Fraction | int = 2,
    swing: Fraction | int = 1,
    lane: Fraction | int = 1,
    output: Fraction | int = 1,
    count: int = 1,
) -> Build:
    """`count` stations A -> B on one lane of speed `lane` and one output belt of speed `output`."""
    build = Build("AB")
    build.belt("lane", count + 2, lane)
    build.source("lane", "A", supply)
    build.belt("out", count + 2, output, role="output")
    build.drain("out")
    for number in range(count):
        station = f"station {number + 1}"
        build.station(station, cycle, {"A": 1}, {"B": 1}, {"A": 4})
        build.picker(f"in {number + 1}", ("lane", number + 1), station, swing)
        build.picker(f"out {number + 1}", station, ("out", number), Fraction(1, 2))
    return build


def run_of(build: Build, plan: object = LONG) -> Run:
    run, _ = recorded(build.layout(), plan)  # type: ignore[arg-type]
    return run


def told(found: tuple[Limit, ...], kind: str) -> str:
    """The sentences of the one limit of that kind."""
    (limit,) = [limit for limit in found if limit.kind == kind]
    return "\n".join((limit.sentence, *limit.because))


def test_a_station_that_never_waits_has_no_limit() -> None:
    assert limits(run_of(fed_station(supply=1))) == ()


def test_too_few_stations() -> None:
    (limit,) = limits(run_of(fed_station(supply=1)), Fraction(3, 4))
    assert limit.kind == "stations"
    assert limit.loss == Fraction(1, 4)
    assert "at most 0.5 units/s without any wait, 0.25 less than asked" in limit.sentence


def test_a_dock_that_gives_too_little() -> None:
    found = limits(run_of(fed_station(supply=Fraction(1, 4))))
    text = told(found, "starved")
    assert "waits for material 50 % of the time (A 50 %)" in text
    assert "lane source brought 0.25 units/s of A, of the 0.5" in text
    assert "nothing was left to give: 0 % of the loads waited" in text
    assert found[0].loss == Fraction(1, 4)


def test_an_outage_is_named_with_its_span() -> None:
    outage = (Outage("lane source", Fraction(100), Fraction(60)),)
    found = limits(run_of(fed_station(), scenario(240, 60, 10, outage)))
    text = told(found, "starved")
    assert "lane source gave nothing from 100 to 160 s" in text
    assert "there was more to give" in text


def test_an_outage_of_the_warm_up_is_no_cause() -> None:
    outage = (Outage("lane source", Fraction(10), Fraction(20)),)
    found = limits(run_of(fed_station(supply=Fraction(1, 4)), scenario(240, 60, 10, outage)))
    assert "gave nothing" not in told(found, "starved")


def test_a_picker_at_its_limit() -> None:
    found = limits(run_of(fed_station(supply=1, swing=4)))
    text = told(found, "starved")
    assert "1 inlet picker is at work all the time: in 1 100 %" in text
    assert "there was more to give" in text


def test_a_lane_at_its_limit() -> None:
    found = limits(run_of(fed_station(count=4, cycle=2, lane=1)))
    text = told(found, "starved")
    assert "lane is full: its dock put 1 of at most 1 carriers/s" in text
    # the first two of four take all there is
    assert "stations 3-4 wait 100 %" in text


def test_an_output_belt_at_its_limit() -> None:
    found = limits(run_of(fed_station(count=2, cycle=1, lane=2, output=1)))
    text = told(found, "output")
    assert "out carries 1 of at most 1 carriers/s" in text
    assert "out is full: a carrier left it on 100 % of its steps" in text
    (limit,) = found
    assert limit.loss == 1  # two stations of 1 unit/s each get rid of one


def test_an_outlet_picker_at_its_limit() -> None:
    build = Build("AB")
    build.belt("lane", 3, 2)
    build.source("lane", "A")
    build.belt("out", 3, role="output")
    build.drain("out")
    build.station("m", 1, {"A": 1}, {"B": 1}, {"A": 4})
    build.picker("in", ("lane", 2), "m", Fraction(1, 2))
    build.picker("out hand", "m", ("out", 0), 3)
    text = told(limits(run_of(build)), "blocked")
    assert "1 outlet picker is at work all the time: out hand 100 %" in text
    assert "they are not what is short" not in text


def loop(quotas: dict[str, int] | None, rule: str = "open") -> Build:
    """A loop of two materials past one station that needs three of A for one of B."""
    build = Build("ABP")
    for material in "AB":
        build.belt(f"supply {material}", 2, role="supply")
        build.source(f"supply {material}", material)
    build.belt("lane", 6)
    build.belt("back", 6, role="return")
    build.merge(["lane"], "back")
    build.gate(["supply A", "supply B"], "lane", rule, "back", quotas=quotas, loop=("lane", "back"))
    build.station("m", 4, {"A": 3, "B": 1}, {"P": 1}, {"A": 6, "B": 2})
    build.picker("in", ("lane", 4), "m")
    build.belt("out", 3, role="output")
    build.drain("out")
    build.picker("out hand", "m", ("out", 0))
    return build


def test_a_loop_that_fills_with_one_material_is_jammed() -> None:
    run = run_of(loop(None), scenario(300, 60))
    assert jammed(run)
    found = limits(run, Fraction(1, 4))
    text = told(found, "jam")
    assert found[0].kind == "jam"
    assert found[0].loss == Fraction(1, 4)
    assert "the line stands: nothing came out after" in text
    assert "lane and back are full of B, so no A can come in" in text
    assert "lane and back hold 11 carriers on 12 cells: no A, 11 B" in text


def test_a_loop_with_quotas_is_not_jammed() -> None:
    run = run_of(loop({"A": 7, "B": 3}, "counted"), scenario(300, 60))
    assert not jammed(run)


def test_no_jam_is_told_while_supplies_are_out() -> None:
    outage = (Outage("lane source", Fraction(100), Fraction(1000)),)
    assert not jammed(run_of(fed_station(), scenario(240, 60, 10, outage)))


def test_an_outage_after_the_end_changes_nothing() -> None:
    outage = (Outage("supply A source", Fraction(1000), Fraction(10)),)
    run = run_of(loop(None), scenario(300, 60, 10, outage))
    assert jammed(run)
    assert "gave nothing" not in told(limits(run), "starved")


def test_no_jam_is_told_while_a_station_is_at_work() -> None:
    assert not jammed(run_of(fed_station(cycle=1000), scenario(240, 60)))


def test_returning_carriers_are_told() -> None:
    run = run_of(loop({"A": 7, "B": 3}, "counted"), scenario(300, 60))
    texts = [reason for limit in limits(run) for reason in limit.because]
    assert any("of the carriers that lane gate passed came back by back" in one for one in texts)


def test_a_side_merge_that_uses_every_gap() -> None:
    """Two lanes end on one collector of the same speed: the second gets the gaps of the first."""
    build = Build("AB")
    for name in ("x", "y"):
        build.belt(f"{name} supply", 2, role="supply")
        build.source(f"{name} supply", "A")
        build.belt(name, 4)
        build.gate([f"{name} supply"], name)
    build.belt("sink", 6, role="collector")
    build.drain("sink")
    build.merge(["x"], "sink")
    build.side_merge("y", "sink", 3)
    build.belt("out", 3, role="output")
    build.drain("out")
    build.station("m", 1, {"A": 1}, {"B": 1}, {"A": 4})
    build.picker("in", ("y", 2), "m", 3)
    build.picker("out hand", "m", ("out", 0), Fraction(1, 2))
    text = told(limits(run_of(build)), "starved")
    assert "y is backed up: y gate found its first cell occupied on" in text
    assert "y side merge found no empty cell on sink" in text


def test_the_worst_stretch_holds_the_worst_and_its_like() -> None:
    waits = [0, 10, 60, 100, 50, 49, 90]
    stations = [
        TimeShares(f"s {i}", "", 1, 1 - Fraction(w, 100), Fraction(0), {"A": Fraction(w, 100)})
        for i, w in enumerate(waits)
    ]
    assert [one.name for one in worst_stretch(stations)] == ["s 2", "s 3", "s 4"]
    assert worst_stretch(()) == ()


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(299333, 10000), "29.93"),
        (Fraction(14891, 100), "148.9"),
        (Fraction(1, 8), "0.125"),
        (Fraction(-7, 3), "-2.333"),
        (30, "30"),
        (Fraction(123456, 10), "12346"),
        (0, "0"),
    ],
)
def test_figures(value: Fraction | int, text: str) -> None:
    assert figure(value) == text


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (Fraction(312, 1000), "31.2 %"),
        (Fraction(1), "100 %"),
        (Fraction(0), "0 %"),
        (Fraction(99999, 100000), "over 99.9 %"),
        (Fraction(1, 100000), "under 0.1 %"),
    ],
)
def test_shares_never_read_as_all_or_nothing_unless_they_are(share: Fraction, text: str) -> None:
    assert percent(share) == text


def test_words() -> None:
    assert rounded(Fraction(5, 2), 0) == "2"
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert by_material({"a": 3}, ("b", "a")) == "no b, 3 a"
    assert station_range(["row 3 station 17"]) == "row 3 station 17"
    assert station_range([f"row 3 station {n}" for n in (5, 6, 7)]) == "stations 5-7"
    assert station_range(["m", "n"]) == "m to n"
