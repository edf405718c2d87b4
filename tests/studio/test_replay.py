"""Runs that jobs speak of begin on the floor as the jobs say."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from loopwright.compare.stress.battery import Battery
from loopwright.compare.stress.case import OUTAGE, stress_cases
from loopwright.model.starter import starter_text
from loopwright.prove.document import verdicts_document
from loopwright.prove.prove import prove_loops
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.simulate import simulate_layout
from loopwright.studio.desk import Desk, open_desk
from loopwright.studio.gated import lay_gated
from loopwright.studio.message import Job
from loopwright.studio.refusal import RefusalError
from loopwright.studio.replay import replayed

FILE = "starter.yaml"
OPEN = {"gate": "open"}


class Kept:
    """Jobs that are done."""

    def __init__(self, kind: str, result: dict[str, Any]) -> None:
        self.kind, self.found = kind, result

    def get(self, job: str) -> Job:
        if job != "one":
            raise RefusalError(404, "no such job")
        return Job(
            id=job, kind=self.kind, file=FILE, digest="", options=OPEN, state="done", done=1.0,
            note="", made="", ended=None, files=(), error=None, findings=(),
        )  # fmt: skip

    def result(self, _job: str) -> dict[str, Any]:
        return self.found

    def text(self, _job: str) -> str:
        return starter_text("starter")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return open_desk(tmp_path)


def _with(desk: Desk, kind: str, result: dict[str, Any]) -> Desk:
    return replace(desk, jobs=Kept(kind, result))  # type: ignore[arg-type]


def test_a_jam_of_a_proof_is_a_jam_on_the_floor(desk: Desk) -> None:
    layout = lay_gated(desk.drafts, desk.folder, FILE, starter_text("starter"), "open").layout
    proof = _with(desk, "prove", verdicts_document(prove_loops(layout)))
    laid, scenario, start = replayed(proof, "one:row 1 lane")
    assert laid.layout.gates[0].rule == "open"
    end = simulate_layout(laid.layout, scenario, start=start).end
    assert any(is_stuck(laid.layout, ring, end) for ring in find_rings(laid.layout))
    with pytest.raises(RefusalError, match="no run of"):
        replayed(proof, "one:row 9 lane")


def test_a_case_of_a_battery_begins_with_its_outage_to_come(desk: Desk) -> None:
    layout = lay_gated(desk.drafts, desk.folder, FILE, starter_text("starter"), "open").layout
    cases = stress_cases(layout, outages=[Fraction(45)])
    number = next(at for at, one in enumerate(cases) if one.kind == OUTAGE)
    battery = _with(desk, "stress", Battery(cases, ()).document())
    _, scenario, _ = replayed(battery, f"one:{number}")
    assert {outage.span for outage in scenario.outages} == {45}
    assert scenario.name == f"no {cases[number].material} for 45 s"
    for nothing in ("one:99", "one:x", "two:0"):
        with pytest.raises(RefusalError):
            replayed(battery, nothing)


def test_a_gate_is_not_tried_on_a_layout_that_was_edited_by_hand(desk: Desk) -> None:
    desk.folder.layout_path(FILE).write_text("kind: layout\n", "utf-8")
    with pytest.raises(RefusalError, match="by hand"):
        lay_gated(desk.drafts, desk.folder, FILE, starter_text("starter"), "open")
