"""The room that a row needs: quotas, surplus, part-used carriers, collectors and make-up rows."""

from __future__ import annotations

from fractions import Fraction

from loopwright.prove import prove_loops
from loopwright.prove.law import Law, laws_of
from loopwright.prove.law.left import leftovers_of, part_left, part_returned
from tests.layout.design import example, placed
from tests.prove.loops import kits
from tests.prove.rows import Row


def _laws(layout: object, *, runs: bool = True) -> dict[str, list[Law]]:
    verdicts = prove_loops(layout, runs=runs)  # type: ignore[arg-type]
    found: dict[str, list[Law]] = {}
    for law in laws_of(layout, verdicts[0].ring, verdicts):  # type: ignore[arg-type]
        found.setdefault(law.topic, []).append(law)
    return found


def test_quotas_are_told_with_both_ends() -> None:
    laws = _laws(kits(rate=Fraction(12, 20), row=12, gate="windowed"), runs=False)
    ends = zip(laws["least quota"], laws["most quota"], strict=True)
    assert all((low.value or 0) < (high.value or 0) for low, high in ends)


def test_what_comes_back_is_about_half_full() -> None:
    """One row of the example block: the law says a half where carriers hold more than a unit, and
    the run gives 67 % of a full one."""
    laws = _laws(kits(rate=Fraction(36, 20), row=36, gate="scarcest-first"))
    (law,) = laws["units on what comes back"]
    assert law.value == Fraction(1, 2)
    assert law.measured is not None
    assert Fraction(2, 5) < law.measured < Fraction(7, 10)


def test_nothing_is_told_of_carriers_of_one_unit() -> None:
    laws = _laws(Row(12).layout(), runs=False)
    assert "units on what comes back" not in laws
    assert part_returned(1, whole=False) == part_left(1, whole=False) == 1
    assert part_returned(4, whole=True) == part_left(4, whole=True) == 1


def test_the_surplus_that_is_there_stands_beside_the_one_that_is_needed() -> None:
    laws = _laws(kits(rate=Fraction(36, 20), row=36, gate="windowed"), runs=False)
    (has,), (needs,) = laws["surplus"], laws["surplus for the row's end"]
    assert has.value == Fraction(7, 18)
    assert needs.value == Fraction(2, 5)
    assert "200 % is sure" in needs.because


def test_the_make_up_row_of_a_pass_gets_what_its_collector_passes() -> None:
    """Nine lanes leave nine tenths of a belt over; at 5/8 of a full carrier that is 1.44 belts, of
    which one is passed. The law errs on the safe side of a run from empty."""
    layout = placed(example("check-block.yaml", architecture="pass", row=64))
    (left,) = leftovers_of(layout)
    assert (left.lanes, left.inlets, len(left.row)) == (9, 8, 64)
    assert (left.fill, left.needs) == (Fraction(9, 10), Fraction(9, 10))
    assert left.carriers == Fraction(9, 10) / Fraction(5, 8)
    assert left.share == Fraction(5, 8) / Fraction(9, 10)


def test_laws_of_a_make_up_row_are_told() -> None:
    layout = placed(example("check-block-pass.yaml"))
    ring = prove_loops(layout, runs=False)[0].ring
    topics = [law.topic for law in laws_of(layout, ring)]
    assert topics == [
        "collector fill", "collector fill, part-used", "fill limit of side merges", "make-up row",
    ]  # fmt: skip
    told = {law.topic: law.value for law in laws_of(layout, ring)}
    assert told["make-up row"] == 1
