"""Tompkins and others, Facilities Planning (machine fraction); Hopp and Spearman, Factory Physics.

The numbers of the first are from memory, its formula F = S Q / (E H R) was seen in course notes;
those of the second are on the companion page of the book (utilisation and capacity).
"""

from fractions import Fraction

from loopwright.plan import solve_plan
from tests.plan.sample import equipment, project


def test_machine_fraction() -> None:
    # S = 2.8 min a part, Q = 200 parts a shift of H = 480 min, E = 0.95, R = 0.8
    made = {"turn": {"inputs": {"bar": 1}, "outputs": {"part": 1}, "cycle": "2.8 min"}}
    availability = Fraction(95, 100) * Fraction(8, 10)
    plan = solve_plan(
        project(
            made,
            {"part": Fraction(200, 480 * 60)},
            equipment=equipment(speed=str(availability)),
        )
    )
    turn = plan.process("turn")
    assert turn.stations == Fraction(350, 228)
    assert abs(turn.stations - Fraction(153509, 100000)) < Fraction(1, 10**5)
    assert turn.whole == 2


def test_capacity_and_utilisation() -> None:
    # 2 machines of 12 an hour each, available 95 % of the time; 20 an hour are wanted
    made = {"mill": {"inputs": {"bar": 1}, "outputs": {"part": 1}, "cycle": "5 min"}}
    plan = solve_plan(
        project(made, {"part": Fraction(20, 3600)}, equipment=equipment(speed="0.95"))
    )
    mill = plan.process("mill")
    assert mill.whole == 2
    capacity = Fraction(20) * mill.whole / mill.stations
    assert capacity == Fraction(228, 10)
    assert abs(mill.stations / mill.whole - Fraction(877, 1000)) < Fraction(1, 2000)
