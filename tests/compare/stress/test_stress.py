"""Batteries: the same rows whatever the processes, and no proof contradicted by any case."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.compare import Battery, Case, measure_case, run_cases, stress_cases
from loopwright.compare.stress.battery import case_text
from loopwright.compare.stress.case import (
    CALM,
    FOREIGN,
    JITTER,
    LATE,
    MIX,
    OUTAGE,
    REMOVED,
    SHORTAGE,
)
from loopwright.compare.stress.disturb import mishaps, one_material, with_shortage
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import empty_state, simulate_layout
from loopwright.simulate.clock import layout_tick
from loopwright.simulate.disturbance import Disturbances, Foreign, Law, Pace
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Outage, Scenario
from tests.layouts.build import Build
from tests.prove.loops import kits, small_loop
from tests.prove.rows import Row
from tests.prove.test_stress import any_layout

CLOSE = Fraction(99, 100)
SIX = Fraction(6, 20)


def _any_case(chance: random.Random, materials: list[str]) -> Case:
    kind = chance.choice((OUTAGE, OUTAGE, SHORTAGE, MIX, LATE, JITTER))
    material = "" if kind in (LATE, JITTER) else chance.choice(materials)
    span = Fraction(0) if kind == MIX else Fraction(chance.randint(1, 2000))
    some = Fraction(chance.randint(1, 99), 100)
    return Case(kind, material, span, some if kind in (SHORTAGE, LATE, JITTER) else Fraction(0))


def _holds(seed: int) -> tuple[bool, bool]:
    """Whether there was a proof of each kind; a case that contradicts one fails the test."""
    chance = random.Random(seed)
    layout = any_layout(chance)
    ring = find_rings(layout)[0]
    safety = find_safety(ring)
    safe = isinstance(safety, Claim)
    returns = isinstance(find_recovery(ring), Claim)
    if safe or returns:
        case = _any_case(chance, list(ring.materials))
        if case.kind == MIX and isinstance(safety, Claim) and safety.theorem == "ratio":
            return safe, returns  # a wrong mix is just what that theorem rules out (A7)
        row = measure_case(layout, case)
        assert not (safe and row.jams), f"seed {seed}: {case} jams in spite of the proof"
        assert not returns or row.after >= CLOSE, f"seed {seed}: {case} leaves {row.after}"
    return safe, returns


def test_no_proof_is_contradicted_by_any_case() -> None:
    proofs = [_holds(seed) for seed in range(30)]
    assert sum(safe for safe, _ in proofs) > 10
    assert sum(returns for _, returns in proofs) > 0


@pytest.mark.slow
@pytest.mark.parametrize("first", range(10_000, 12_000, 100))
def test_no_proof_is_contradicted_by_any_of_many_cases(first: int) -> None:
    proofs = [_holds(seed) for seed in range(first, first + 100)]
    assert sum(safe for safe, _ in proofs) > 30


def test_rows_do_not_depend_on_the_processes() -> None:
    layout = kits(rate=SIX, row=6, gate="windowed")
    cases = stress_cases(layout, [Fraction(60)], [])[:3]
    told: list[float] = []
    shared = run_cases(layout, cases, jobs=2, progress=told.append)
    assert shared == run_cases(layout, cases, jobs=1)
    assert told[-1] == 1
    assert shared.whole
    assert shared.standard == 1
    assert shared.csv() == run_cases(layout, cases, jobs=1).csv()


def test_a_locked_ratio_keeps_a_wrong_mix_for_ever() -> None:
    layout = Row(12, rule="ratio-locked").layout()
    assert isinstance(find_safety(find_rings(layout)[0]), Claim)
    row = measure_case(layout, Case(MIX, "A"))
    assert (row.jams, row.time) == ((), None)
    assert row.after < Fraction(3, 4)


def test_an_open_gate_is_found_out() -> None:
    layout = Row(12).layout()
    calm, brief, long = run_cases(
        layout,
        (Case(CALM), Case(OUTAGE, "A", Fraction(10)), Case(OUTAGE, "A", Fraction(400))),
        jobs=1,
    ).rows
    assert (calm.after, brief.after, long.after) == (1, 1, 0)
    assert (calm.jams, long.jams) == ((), ("lane",))
    assert long.time is None


def test_a_shortage_gives_what_is_supplied_and_no_more() -> None:
    layout = Row(12, rule="ratio-locked").layout()
    row = measure_case(layout, Case(SHORTAGE, "A", Fraction(4000), Fraction(1, 2)))
    assert Fraction(1, 2) <= row.during < Fraction(6, 10)  # stock at the start comes on top
    assert row.after == 1
    short = with_shortage(layout, "A", Fraction(1, 2))
    assert [source.rate for source in short.sources] == [Fraction(12, 80), None, None]


def test_a_wrong_mix_keeps_to_the_quotas() -> None:
    layout = kits(rate=SIX, row=6, gate="windowed")
    state = one_material(layout, primed_state(layout), "tap")
    gate = layout.gates[0]
    cells = [cell for cell in state.belts[gate.outlet] if cell is not None]
    assert {cell[0] for cell in cells} == {"tap"}
    assert len(cells) == dict(gate.quotas)["tap"]
    assert state.windows[gate.name].count("tap") == len(cells)


def test_late_pickers_and_uneven_cycles_cost_rate_while_they_last() -> None:
    """With buffers of one cycle and a swing of half a cycle for each of two units, a picker that
    misses 3 of 10 picks brings 2 units in 10 / 7 cycles."""
    build = Build("AP", stack=1)
    build.belt("lane", 3)
    build.source("lane", "A")
    build.drain("lane")
    build.belt("out", 3, role="output")
    build.drain("out")
    build.station("s", 8, {"A": 2}, {"P": 1}, {"A": 2})
    build.picker("in", ("lane", 1), "s", swing=4)
    build.picker("off", "s", ("out", 1))
    layout = build.layout()
    calm, late = (
        measure_case(layout, Case(kind, "", Fraction(40_000), share))
        for kind, share in ((CALM, Fraction(0)), (LATE, Fraction(3, 10)))
    )
    assert (calm.during, calm.after, late.after) == (1, 1, 1)
    # 10,000 swings, each of which brings something with 0.7: standard deviation 0.0046; 4 of them
    assert abs(late.during - Fraction(7, 10)) < Fraction(2, 100)
    uneven = mishaps(layout, empty_state(layout), Case(JITTER, "", Fraction(9), Fraction(1, 2)))
    assert uneven.paces == (Pace("s", Law("uniform", Fraction(1, 2))),)


def test_hands_put_on_and_take_off_one_carrier_of_each_loop() -> None:
    layout = kits(rate=SIX, row=6, gate="windowed")
    state = primed_state(layout)
    belts = {belt: cells for belt, cells in state.belts.items() if "return" in belt}
    gone = mishaps(layout, state, Case(REMOVED, "tap")).removals[0]
    assert state.belts[gone.belt][gone.index] == ("tap", 4)
    assert gone.at == layout_tick(layout)
    put = mishaps(layout, state, Case(FOREIGN, "kit")).foreign[0]
    assert state.belts[put.belt][put.index] is None
    assert (put.belt in belts, put.material, put.units) == (True, "kit", 1)
    row = measure_case(layout, Case(FOREIGN, "kit"))
    assert (row.after, row.jams) == (1, ())


def test_a_foreign_carrier_is_against_what_a_proof_takes_for_granted() -> None:
    """Quotas that leave one place for what is away: the foreign carrier takes it (A4)."""
    layout = small_loop("counted", quotas={"A": 6, "B": 6}, cycle=20)
    ring = find_rings(layout)[0]
    assert isinstance(find_safety(ring), Claim)
    span = Fraction(800)
    gone = (Outage("supply A source", Fraction(100), Fraction(400)),)
    put = Disturbances(foreign=(Foreign("return", 0, "P", 1, Fraction(90)),))
    for told, stands in ((Disturbances(), False), (put, True)):
        scenario = Scenario("x", "primed", span, Fraction(0), span, gone, disturbances=told)
        assert is_stuck(layout, ring, simulate_layout(layout, scenario).end) == stands


def test_what_is_interrupted_keeps_its_rows(monkeypatch: pytest.MonkeyPatch) -> None:
    layout = Row(12).layout()
    cases = (Case(CALM), Case(OUTAGE, "A", Fraction(10)))
    done = measure_case(layout, cases[0])

    def stopped(_: object, case: Case) -> object:
        if case.kind == CALM:
            return done
        raise KeyboardInterrupt

    monkeypatch.setattr("loopwright.compare.stress.measure.measure_case", stopped)
    found = run_cases(layout, cases, jobs=1)
    assert found == Battery(cases, (done,))
    assert not found.whole
    assert next(found.sentences()).startswith("Interrupted: 1 of 2")


def test_cases_are_told_in_words() -> None:
    assert case_text(Case(OUTAGE, "tap", Fraction(30))) == "no tap for 30 s"
    assert case_text(Case(SHORTAGE, "tap", Fraction(9), Fraction(4, 5))) == "80 % of tap for 9 s"
    assert case_text(Case(MIX, "tap")) == "starts with tap only"
    assert case_text(Case(CALM)) == "undisturbed"
    late = Case(LATE, "", Fraction(60), Fraction(3, 10))
    assert case_text(late) == "30 % of picks missed for 60 s"
    uneven = Case(JITTER, "", Fraction(60), Fraction(1, 4))
    assert case_text(uneven) == "cycles +-25 % for 60 s"
    assert case_text(Case(REMOVED, "tap")) == "a carrier of tap taken off each loop"
    assert case_text(Case(FOREIGN, "kit")) == "a carrier of kit put on each loop"


def test_a_plain_block_is_pressed_too() -> None:
    layout = kits(rate=SIX, row=6, architecture="plain")
    row = measure_case(layout, Case(OUTAGE, "tap", Fraction(60)))
    assert (row.after, row.jams) == (1, ())
    assert not [case for case in stress_cases(layout) if case.kind == MIX]


def test_docks_of_one_row_pair_share_what_it_uses() -> None:
    layout = kits(rate=2 * SIX, row=6, gate="windowed")
    short = with_shortage(layout, "tap", Fraction(1))
    rates = {source.name: source.rate for source in short.sources if source.material == "tap"}
    assert set(rates.values()) == {SIX / 4}
    assert replace(short, sources=layout.sources) == layout


def test_the_command_shows_and_writes_rows(tmp_path: Path) -> None:
    from tests.cli.typed import type_in

    text = Path("examples/filter-kits.yaml").read_text("utf-8")
    text = text.replace("kit: 648/min", "kit: 18/min").replace("row: 36 ", "row: 6 ")
    file, rows = tmp_path / "kits.yaml", tmp_path / "rows.csv"
    file.write_text(text, "utf-8")
    spans = ("--outage", "60 s", "--shortage", "0.9", "--missed", "0.2")
    words = ("stress", file, *spans, "--jobs", 1)
    typed = type_in(*words, "--csv", rows)
    assert typed.code == 0
    assert "no tap for 60 s" in typed.out
    assert "0 of 16 cases end in a jam" in typed.out
    assert len(rows.read_text("utf-8").splitlines()) == 17
    listed = type_in(*words, "--json").document
    assert (listed["whole"], len(listed["rows"])) == (True, 16)
    assert listed["origin"]["parameters"]["missed"] == ["1/5"]
    assert type_in("stress", file, "--outage", "soon").code == 2
    assert type_in("stress", file, "--missed", "1").code == 2
