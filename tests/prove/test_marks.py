"""Proofs and marks: what they may change is left out of the theorems, by finder and checker."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.grid import Cell
from loopwright.layout.document import layout_document
from loopwright.layout.layout import Applicator, Grade, Layout, Picker, Port
from loopwright.model import Project
from loopwright.prove import find_rings
from loopwright.prove.certificate import Certificate
from loopwright.prove.checker import Refusal, check_certificate
from loopwright.prove.jam import measure_recovery
from loopwright.prove.law.terms import terms_of
from loopwright.prove.part import part_of
from loopwright.prove.prove import prove_loops
from loopwright.prove.reread import Loop
from loopwright.prove.retrace import Supplies
from loopwright.record import digest
from tests.block.test_batch import rinsed
from tests.layout.design import example, placed
from tests.prove.loops import drained_loop
from tests.prove.trunks import row_of_loops


def windowed() -> Layout:
    """The loops of the example plant, both of whose questions are proved."""
    return placed(example("filter-kits.yaml"))


def graded(layout: Layout, *factors: tuple[Fraction, Fraction]) -> Layout:
    grades = tuple(Grade(*pair) for pair in factors)
    return replace(layout, recipes=tuple(replace(one, grades=grades) for one in layout.recipes))


def verdicts(layout: Layout) -> list[tuple[str, str]]:
    return [(verdict.question, verdict.outcome) for verdict in prove_loops(layout)]


def test_an_applicator_over_a_loop_changes_no_verdict() -> None:
    layout = windowed()
    lane = find_rings(layout)[0].belts[0]
    over = Applicator("spray", Cell(0, 0), lane, 2, layout.materials[0].name, 5)
    marked = replace(layout, applicators=(over,))
    assert verdicts(marked) == verdicts(layout)
    assert part_of(marked, (lane,)).applicators == (over,)


def test_grades_leave_full_rate_open() -> None:
    layout = windowed()
    ring = find_rings(layout)[0]
    fast = graded(layout, (Fraction(1), Fraction(2)), (Fraction(3, 2), Fraction(1, 2)))
    proved = {question for question, outcome in verdicts(fast) if outcome == "proved"}
    assert {outcome for _, outcome in verdicts(layout)} == {"proved"}
    assert proved == {"cannot jam"}
    drawer, was = find_rings(fast)[0].drawers[0], ring.drawers[0]
    assert drawer.graded
    assert drawer.cycle == 2 * was.cycle
    assert [units for _, units in drawer.made] == [-(-3 * units // 2) for _, units in was.made]


def test_marks_that_change_the_yield_alone_leave_both_answers() -> None:
    layout = windowed()
    rich = graded(layout, (Fraction(3, 2), Fraction(1)))
    assert {outcome for _, outcome in verdicts(rich)} == {"proved"}
    assert not find_rings(rich)[0].drawers[0].graded


@pytest.mark.parametrize("speed", ["1", "3/2"])
def test_loops_of_a_treated_block_are_proved(speed: str) -> None:
    """One row behind its bay; full rate is not proved where marks change the cycle."""
    tree = rinsed({"speed": speed}, scope="block", gate="windowed", architecture="loop").document()
    tree["site"]["docks"], tree["demand"] = [], {"cartridge": "180/min"}
    safety, recovery = (one for _, one in verdicts(placed(Project.model_validate(tree))))
    assert safety == "proved"
    assert (recovery == "proved") == (speed == "1")


def test_a_drained_loop_whose_cycles_marks_change_is_left_open() -> None:
    """By the finder; and the checker refuses the proof of the same loop without grades."""
    layout = drained_loop(cycle=12)
    fast = graded(layout, (Fraction(1), Fraction(2)))
    assert verdicts(layout) == [
        ("cannot jam", "proved"),
        ("returns to full rate by itself", "proved"),
    ]
    found = [outcome for _, outcome in verdicts(fast)]
    assert found[0] == "proved"
    assert found[1] != "proved"
    claims = tuple(verdict.claim for verdict in prove_loops(layout) if verdict.claim)
    certificate = Certificate(digest(layout_document(fast)), {}, claims)
    told = check_certificate(certificate, layout_document(fast))
    assert any("marks change the cycles" in fault for fault in told)


def test_full_rate_is_measured_against_the_cycles_of_marked_batches() -> None:
    tree = rinsed({"speed": "3/2"}, scope="block", row=6).document()
    layout = placed(Project.model_validate(tree))
    ring = find_rings(layout)[0]
    assert {(drawer.cycle, drawer.usual) for drawer in ring.drawers} == {(6, 4)}
    shares = [run.share for run in measure_recovery(layout, ring)]
    assert all(Fraction(99, 100) < share <= Fraction(101, 100) for share in shares)
    terms = terms_of(ring)
    assert terms is not None
    assert terms.steps == 20


def test_a_tank_that_draws_on_a_loop_is_a_way_out() -> None:
    layout = windowed()
    ring = find_rings(layout)[0]
    lane = ring.belts[0]
    over = Applicator("spray", Cell(0, 0), lane, 2, ring.materials[0], 5)
    tap = replace(layout.pickers[0], name="tap", source=Port(lane, 3), target=Port("spray"))
    assert isinstance(tap, Picker)
    tapped = replace(layout, applicators=(over,), pickers=(*layout.pickers, tap))
    assert "tap takes to spray" in find_rings(tapped)[0].exits
    with pytest.raises(Refusal, match="a way out beside the stations"):
        Loop(layout_document(tapped), lane)


def test_quick_batches_of_those_before_leave_less() -> None:
    """Marks may double the speed of the stations that are served before: finder and checker take
    them at their quickest."""
    layout = row_of_loops(Fraction(9, 10))
    quick = graded(layout, (Fraction(1), Fraction(1, 3)), (Fraction(1), Fraction(9, 8)))
    faster = graded(layout, (Fraction(1), Fraction(2)))
    speed = find_rings(layout)[2].speed
    assert speed is not None
    assert prove_loops(layout, runs=False)[4].outcome == "proved"
    assert Supplies(layout_document(layout)).inlet("trunk 3", speed).way is not None
    for one in (quick, faster):
        assert prove_loops(one, runs=False)[4].outcome == "undecided"
        with pytest.raises(Refusal):
            Supplies(layout_document(one)).inlet("trunk 3", speed)
