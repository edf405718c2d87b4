"""Batteries: the same rows whatever the processes, and no proof contradicted by any case."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.compare import Case, Comparison, measure_case, run_cases, stress_cases
from loopwright.compare.comparison import case_text
from loopwright.compare.measure import one_material, with_shortage
from loopwright.compare.study import CALM, MIX, OUTAGE, SHORTAGE
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.rings import find_rings
from loopwright.simulate.prime import primed_state
from tests.prove.loops import kits
from tests.prove.rows import Row
from tests.prove.test_stress import any_layout

CLOSE = Fraction(99, 100)
SIX = Fraction(6, 20)


def _any_case(chance: random.Random, materials: list[str]) -> Case:
    kind, material = chance.choice((OUTAGE, OUTAGE, SHORTAGE, MIX)), chance.choice(materials)
    span = Fraction(0) if kind == MIX else Fraction(chance.randint(1, 2000))
    share = Fraction(chance.randint(1, 99), 100) if kind == SHORTAGE else Fraction(0)
    return Case(kind, material, span, share)


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


def test_what_is_interrupted_keeps_its_rows(monkeypatch: pytest.MonkeyPatch) -> None:
    layout = Row(12).layout()
    cases = (Case(CALM), Case(OUTAGE, "A", Fraction(10)))
    done = measure_case(layout, cases[0])

    def stopped(_: object, case: Case) -> object:
        if case.kind == CALM:
            return done
        raise KeyboardInterrupt

    monkeypatch.setattr("loopwright.compare.measure.measure_case", stopped)
    found = run_cases(layout, cases, jobs=1)
    assert found == Comparison(cases, (done,))
    assert not found.whole
    assert next(found.sentences()).startswith("Interrupted: 1 of 2")


def test_cases_are_told_in_words() -> None:
    assert case_text(Case(OUTAGE, "tap", Fraction(30))) == "no tap for 30 s"
    assert case_text(Case(SHORTAGE, "tap", Fraction(9), Fraction(4, 5))) == "80 % of tap for 9 s"
    assert case_text(Case(MIX, "tap")) == "starts with tap only"
    assert case_text(Case(CALM)) == "undisturbed"


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
    words = ("stress", file, "--outage", "60 s", "--shortage", "0.9", "--jobs", 1)
    typed = type_in(*words, "--csv", rows)
    assert typed.code == 0
    assert "no tap for 60 s" in typed.out
    assert "0 of 10 cases end in a jam" in typed.out
    assert len(rows.read_text("utf-8").splitlines()) == 11
    listed = type_in(*words, "--json").document
    assert (listed["whole"], len(listed["rows"])) == (True, 10)
    assert type_in("stress", file, "--outage", "soon").code == 2
