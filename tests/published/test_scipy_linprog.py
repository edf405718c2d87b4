"""Programmes and optima of scipy 1.17.1 (BSD), scipy/optimize/tests/test_linprog.py, each by the
name of its test there; numbers only. scipy allows 1e-8; here the optimum is exact, so the
difference is what rounding of the stated value leaves. Programmes drawn from a generator are left
out, except two whose numbers come from numpy and are taken as the fractions that floats are.
"""

from __future__ import annotations

from fractions import Fraction
from math import cos, pi, sin
from typing import Any

import numpy
import pytest

from loopwright.plan.certificate import certificate_text
from loopwright.plan.checker import check_certificate
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Conflict, Optimum, Outcome, Unbounded
from loopwright.plan.study import Proof
from loopwright.record import Origin
from tests.plan.programmes import FREE, Listed, point, programme, value

NINTH = Fraction(1, 9)
LOW_3 = (-3, None)
G = -10000
NONTRIVIAL: dict[str, Any] = {
    "c": [-1, 8, 4, -6],
    "a_ub": [[-7, -7, 6, 9], [1, -1, -3, 0], [10, -10, -7, 7], [6, -1, 3, 4]],
    "b_ub": [-3, 6, -6, 6],
    "a_eq": [[-10, 1, 1, -8]],
}

OPTIMA = {
    "callback": (Listed([-3, -2], [[2, 1], [1, 1], [1, 0]], [10, 8, 4]), -18, [2, 6]),
    "docstring_example": (
        Listed([-1, 4], [[-3, 1], [1, 2]], [6, 4], bounds=[FREE, LOW_3]), -22, [10, -3],
    ),
    "aliasing_b_ub": (Listed([1], [[1]], [3], bounds=[(-4, None)]), -4, [-4]),
    "aliasing_b_eq": (Listed([1], (), (), [[1]], [3], [(-4, None)]), 3, [3]),
    "non_ndarray_args": (Listed([1], [[1]], [3], [[1]], [2], [(-1, 10)]), 2, [2]),
    "integrality_without_highs": (
        Listed([0, -1], [[-1, 1], [3, 2], [2, 3]], [1, 12, 12]),
        Fraction(-14, 5), [Fraction(9, 5), Fraction(14, 5)],
    ),
    "bounds_fixed_1": (Listed([1], bounds=[(1, 1)]), 1, [1]),
    "bounds_fixed_2": (Listed([1, 2, 3], bounds=[(5, 5), (-1, -1), (3, 3)]), 12, [5, -1, 3]),
    "bounds_fixed_3": (Listed([1, 1], bounds=[(1, 1), (1, 3)]), 2, [1, 1]),
    "bounds_fixed_4": (
        Listed([1, 1, 2], (), (), [[1, 0, 0], [0, 1, 0]], [1, 7],
               [(-5, 5), (0, 10), (Fraction(7, 2), Fraction(7, 2))]),
        15, [1, 7, Fraction(7, 2)],
    ),
    "empty_constraint_3": (
        Listed([1, -1, 1, -1], bounds=[(0, None), (None, 0), (-1, 1), (-1, 1)]), -2, [0, 0, -1, 1],
    ),
    "inequality_constraints2": (
        Listed([6, 3], [[0, 3], [-1, -1], [-2, 1]], [2, -1, -1]),
        5, [Fraction(2, 3), Fraction(1, 3)],
    ),
    "bounds_simple": (Listed([1, 2], bounds=[(1, 2), (1, 2)]), 3, [1, 1]),
    "bounded_below_only_1": (Listed([1], (), (), [[1]], [3], [(1, None)]), 3, [3]),
    "bounded_below_only_2": (
        Listed([1, 1, 1], (), (), [[1, 0, 0], [0, 1, 0], [0, 0, 1]], [1, 2, 3],
               [(Fraction(1, 2), None)] * 3),
        6, [1, 2, 3],
    ),
    "bounded_above_only_1": (Listed([1], (), (), [[1]], [3], [(None, 10)]), 3, [3]),
    "bounded_above_only_2": (
        Listed([1, 1, 1], (), (), [[1, 0, 0], [0, 1, 0], [0, 0, 1]], [1, 2, 3], [(None, 4)] * 3),
        6, [1, 2, 3],
    ),
    "bounds_infinity": (
        Listed([1, 1, 1], (), (), [[1, 0, 0], [0, 1, 0], [0, 0, 1]], [1, 2, 3], [FREE] * 3),
        6, [1, 2, 3],
    ),
    "bounds_mixed": (
        Listed([1, -4], [[-3, 1], [1, 2]], [6, 4], bounds=[FREE, LOW_3]),
        Fraction(-80, 7), [Fraction(-8, 7), Fraction(18, 7)],
    ),
    "zero_row_1": (
        Listed([1, 2, 3], (), (), [[0, 0, 0], [1, 1, 1], [0, 0, 0]], [0, 3, 0]), 3, [3, 0, 0],
    ),
    "zero_row_2": (Listed([1, 2, 3], [[0, 0, 0], [1, 1, 1], [0, 0, 0]], [0, 3, 0]), 0, [0, 0, 0]),
    "singleton_row_eq_2": (
        Listed([1, 1, 1, 2], (), (), [[1, 0, 0, 0], [0, 2, 0, 0], [1, 0, 0, 0], [1, 1, 1, 1]],
               [1, 2, 1, 4]),
        4, [1, 1, 2, 0],
    ),
    "singleton_row_ub_2": (
        Listed([1, 1, 1, 2], [[1, 0, 0, 0], [0, 2, 0, 0], [-1, 0, 0, 0], [1, 1, 1, 1]],
               [1, 2, Fraction(-1, 2), 4], bounds=[FREE, (0, None), (0, None), (0, None)]),
        Fraction(1, 2), [Fraction(1, 2), 0, 0, 0],
    ),
    "cyclic_recovery": (
        Listed([-100, -10, -1], [[1, 0, 0], [20, 1, 0], [200, 20, 1]], [1, 100, 10000]),
        -10000, [0, 0, 10000],
    ),
    "cyclic_bland": (
        Listed([-10, 57, 9, 24],
               [["0.5", "-5.5", "-2.5", 9], ["0.5", "-1.5", "-0.5", 1], [1, 0, 0, 0]], [0, 0, 1]),
        -1, [1, 0, 1, 0],
    ),
    "nontrivial_problem": (
        Listed(**NONTRIVIAL, b_eq=[-4]),
        Fraction(7083, 1391), [Fraction(101, 1391), Fraction(1462, 1391), 0, Fraction(752, 1391)],
    ),
    "network_flow": (
        Listed([2, 4, 9, 11, 4, 3, 8, 7, 0, 15, 16, 18], (), (),
               [[-1, -1, 1, 0, 1, 0, 0, 0, 0, 1, 0, 0], [1, 0, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0],
                [0, 0, -1, -1, 0, 0, 0, 0, 0, 0, 0, 0], [0, 0, 0, 0, 0, 0, 1, 1, 0, 0, 1, 0],
                [0, 0, 0, 0, -1, -1, -1, 0, 1, 0, 0, 0], [0, 0, 0, 0, 0, 0, 0, -1, -1, 0, 0, 1],
                [0, 0, 0, 0, 0, 0, 0, 0, 0, -1, -1, -1]],
               [0, 19, -16, 33, 0, 0, -36]),
        755, None,
    ),
    "network_flow_limited_capacity": (
        Listed([2, 2, 1, 3, 1], (), (),
               [[-1, -1, 0, 0, 0], [1, 0, -1, -1, 0], [0, 1, 1, 0, -1], [0, 0, 0, 1, 1]],
               [-4, 0, 0, 4], [(0, 4), (0, 2), (0, 2), (0, 3), (0, 5)]),
        14, None,
    ),
    "simplex_algorithm_wikipedia_example": (
        Listed([-2, -3, -4], [[3, 2, 1], [2, 5, 3]], [10, 15]), -20, [0, 0, 5],
    ),
    "enzo_example": (
        Listed([4, 8, 3, 0, 0, 0], (), (),
               [[2, 5, 3, -1, 0, 0], [3, "2.5", 8, 0, -1, 0], [8, 10, 4, 0, 0, -1]],
               [185, 155, 600]),
        Fraction("317.5"), [Fraction("66.25"), 0, Fraction("17.5"), 0, Fraction("183.75"), 0],
    ),
    "enzo_example_b": (
        Listed(["2.8", "6.3", "10.8", "-2.8", "-6.3", "-10.8"], (), (),
               [[-1, -1, -1, 0, 0, 0], [0, 0, 0, 1, 1, 1], [1, 0, 0, 1, 0, 0], [0, 1, 0, 0, 1, 0],
                [0, 0, 1, 0, 0, 1]],
               ["-0.5", "0.4", "0.3", "0.3", "0.3"]),
        Fraction("-1.77"), [Fraction(n, 10) for n in (3, 2, 0, 0, 1, 3)],
    ),
    "basic_artificial_vars": (
        Listed(["-0.1", "-0.07", "0.004", "0.004", "0.004", "0.004"],
               [[1, 0, 0, 0, 0, 0], [-1, 0, 0, 0, 0, 0], [0, -1, 0, 0, 0, 0], [0, 1, 0, 0, 0, 0],
                [1, 1, 0, 0, 0, 0]],
               [3, 3, 3, 3, 20], [[1, 0, -1, 1, -1, 1], [0, -1, -1, 1, -1, 1]], [0, 0]),
        0, [0] * 6,
    ),
    "bug_6139": (
        Listed([1, 1, 1], [[0, -1000000, -1010000]], [-10000000], [[1, 0, 0], [-1000, 0, -1000]],
               [5, -10000], [FREE] * 3),
        Fraction("14.95"), [5, Fraction("4.95"), 5],
    ),
    "bug_6690": (
        Listed(["-1.64", "0.7", "1.8", "-1.06", "-1.16", "0.26", "2.13", "1.53", "0.66", "0.28"],
               [[0, 0, 0, "1.18", 0, 0, 0, "-0.2", 0, "-0.22"], [0] * 10,
                [0, 0, 0, "0.43", 0, 0, 0, 0, 0, 0],
                [0, "-1.22", "-0.25", 0, 0, 0, "-2.06", 0, 0, "1.37"],
                [0, 0, 0, 0, 0, 0, 0, "-0.25", 0, 0]],
               ["0.615", 0, "0.172", "-0.869", "-0.022"],
               [[0, 0, 0, "0.93", 0, "0.65", 0, 0, "0.83", 0]], ["0.9626"],
               [("-0.84", "0.37"), ("-0.97", "0.02"), ("0.34", "2.86"), ("0.4", "0.86"),
                ("-0.33", "1.18"), ("-0.74", "0.5"), ("0.47", "1.76"), ("0.09", "0.17"),
                ("-1.45", "0.32"), ("-0.73", "-0.15")]),
        Fraction("-1.191"),
        [Fraction(n, 100) for n in (37, -97, 34, 40, 118, 50, 47, 9, 32, -73)],
    ),
    "bug_8174": (
        Listed([-1] * 5,
               [[22714, 1008, 13380, "-2713.5", -1116], [-4986, -1092, -31220, "17386.5", 684],
                [-4986, 0, 0, "-2713.5", 0], [22714, 0, 0, "17386.5", 0]],
               [0] * 4, bounds=[(0, 1)] * 5),
        "-2.0080717488789235", None,
    ),
    "bug_8174_2": (
        Listed([1, 0, 0, 0, 0, 0, 0],
               [[-(row == at) for at in range(7)] for row in range(7)], [-2] * 7,
               [[1, 1, 1, 1, 1, 1, 0], ["0.3", "1.3", "0.9", 0, 0, 0, -1],
                ["0.3", 0, 0, 0, 0, 0, Fraction(-2, 3)],
                [0, "0.65", 0, 0, 0, 0, Fraction(-1, 15)],
                [0, 0, "0.3", 0, 0, 0, Fraction(-1, 15)]],
               [100, 0, 0, 0, 0]),
        "43.3333333331385", None,
    ),
    "bug_8561": (
        Listed([7, 0, -4, "1.5", "1.5"],
               [[4, "5.5", "1.5", 1, "-3.5"], [1, "-2.5", -2, "2.5", "0.5"],
                [3, "-0.5", 4, "-12.5", -7], [-1, "4.5", 2, "-3.5", -2],
                ["5.5", 2, "-4.5", -1, "9.5"]],
               [0, 0, 0, 0, 1]),
        Fraction(-107, 2), [0, 0, 19, Fraction(16, 3), Fraction(29, 3)],
    ),
    "bug_8662": (
        Listed([-10, 10, 6, 3], [[8, -8, -4, 6], [-8, 8, 4, -6], [-4, 4, 8, -4], [3, -3, -3, -10]],
               [9, -9, -9, -4]),
        36, None,
    ),
    "bug_8662_2": (
        Listed([-10, 10, 6, 3],
               [[8, -8, -4, 6], [-8, 8, 4, -6], [-4, 4, 8, -4], [3, -3, -3, -10], [0, 0, -1, 0]],
               [9, -9, -9, -4, 0], bounds=[(0, None), (0, None), FREE, (0, None)]),
        36, None,
    ),
    "bug_8663": (
        Listed([1, 5], (), (), [[0, -7]], [-6], [(0, None), FREE]),
        Fraction(30, 7), [0, Fraction(6, 7)],
    ),
    "bug_8973": (
        Listed([0, 0, 0, 1, -1], [[1, 0, 0, 0, 0], [0, 1, 0, 0, 0]], [2, -2],
               bounds=[FREE, FREE, FREE, (-1, 1), (-1, 1)]),
        -2, None,
    ),
    "bug_8973_2": (Listed([0], [[1]], [-2], bounds=[FREE]), 0, None),
    "bug_10349": (
        Listed([0, 1, 0, 0, 0, 0], (), (),
               [[1, 1, 0, 0, 0, 0], [0, 0, 1, 1, 0, 0], [0, 0, 0, 0, 1, 1], [1, 0, 1, 0, 0, 0],
                [0, 0, 0, 1, 1, 0], [0, 1, 0, 0, 0, 1]],
               [221, 210, 10, 141, 198, 102]),
        92, [129, 92, 12, 198, 0, 10],
    ),
    "bug_10466": (
        Listed([-8, 0, -8, 0, -8, 0, 0, 0, 0, 0, 0, 0, 0], (), (),
               [[1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0], [0, 0, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0],
                [0, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0, 0, 0], [1, 0, 1, 0, 1, 0, -1, 0, 0, 0, 0, 0, 0],
                [1, 0, 1, 0, 1, 0, 0, 1, 0, 0, 0, 0, 0], [1, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0],
                [1, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0], [1, 0, 1, 0, 1, 0, 0, 0, 0, 0, 1, 0, 0],
                [0, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0], [0, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0, 0, 1]],
               [314572800, 419430400, 524288000, 1006632960, *[1073741824] * 6]),
        -8589934592, None,  # scipy states -8589934560 and allows 1e-7 of it
    ),
    "bug_5400": (
        Listed([-1, *[1] * 12, *[0] * 6],
               [[1, "-2.99", 0, 0, -3, 0, 0, 0, -1, -1, 0, -1, -1, 1, 1, 0, 0, 0, 0],
                [1, 0, "-2.9", "-3.1", 0, -3, 0, -1, 0, 0, -1, 0, -1, 0, 0, 1, 1, 0, 0],
                [1, 0, 0, "-3.1", 0, 0, -3, -1, -1, 0, -1, -1, 0, 0, 0, 0, 0, 1, 1],
                *([int(at == row) for at in range(19)] for row in range(1, 13)),
                *([-(at == row) for at in range(19)] for row in range(13, 19)),
                [0, "1.99", -1, -1, 0, 0, 0, -1, NINTH, NINTH, 0, 0, 0, G, 0, 0, 0, 0, 0],
                [0, 0, 0, 0, 2, -1, -1, 0, 0, 0, -1, NINTH, NINTH, 0, G, 0, 0, 0, 0],
                [0, -1, "1.9", "2.1", 0, 0, 0, NINTH, -1, -1, 0, 0, 0, 0, 0, G, 0, 0, 0],
                [0, 0, 0, 0, -1, 2, -1, 0, 0, 0, NINTH, -1, NINTH, 0, 0, 0, G, 0, 0],
                [0, -1, -1, "2.1", 0, 0, 0, NINTH, NINTH, -1, 0, 0, 0, 0, 0, 0, 0, G, 0],
                [0, 0, 0, 0, -1, -1, 2, 0, 0, 0, NINTH, NINTH, -1, 0, 0, 0, 0, 0, G]],
               [0, 0, 0, *[100] * 6, *[900] * 6, *[0] * 12],
               bounds=[(0, None), *[(0, 100)] * 6, *[(0, 900)] * 6, *[(0, None)] * 6]),
        "-106.63507541835018", None,
    ),
    "bug_7237": (
        Listed([-1, *[0] * 8],
               [[1, -724, 911, -551, -555, -896, 478, -80, -293],
                [1, 566, 42, 937, 233, 883, 392, -909, 57],
                [1, -208, -894, 539, 321, 532, -924, 942, 55],
                [1, 857, -859, 83, 462, -265, -971, 826, 482],
                [1, 314, -424, 245, -424, 194, -443, -104, -429],
                [1, 540, 679, 361, 149, -827, 876, 633, 302],
                *([-(at == row) for at in range(9)] for row in range(1, 9)),
                *([int(at == row) for at in range(9)] for row in range(1, 9))],
               [0] * 14 + [1] * 8, [[0, *[1] * 8]], [1], [FREE] * 9),
        "108.568535", None,  # stated to six decimals
    ),
    "nontrivial_problem_with_unbounded_variables": (
        Listed(**NONTRIVIAL, b_eq=[-4], bounds=[FREE, FREE, (0, None), FREE]),
        Fraction(7083, 1391), [Fraction(101, 1391), Fraction(1462, 1391), 0, Fraction(752, 1391)],
    ),
    "nontrivial_problem_with_bounded_variables": (
        Listed(**NONTRIVIAL, b_eq=[-4],
               bounds=[(None, 1), (1, None), (0, None), ("0.4", "0.6")]),
        Fraction(7083, 1391), [Fraction(101, 1391), Fraction(1462, 1391), 0, Fraction(752, 1391)],
    ),
    "nontrivial_problem_with_negative_unbounded_variable": (
        Listed(**NONTRIVIAL, b_eq=[4],
               bounds=[FREE, (1, None), (0, None), ("0.4", "0.6")]),
        Fraction(3951, 385), [Fraction(-219, 385), Fraction(582, 385), 0, Fraction(4, 10)],
    ),
}  # fmt: skip

CONFLICTS = {
    "bounds_infeasible": Listed([1], bounds=[(1, -2)]),
    "bounds_infeasible_3": Listed([1, 2, 3], bounds=[(5, 0), (1, 2), (3, 4)]),
    "bounds_equal_but_infeasible": Listed(
        [-4, 1], [[7, -2], [0, 1], [2, -2]], [14, 0, 3], bounds=[(2, 2), (0, None)]
    ),
    "bounds_equal_but_infeasible2": Listed(
        [-4, 1], (), (), [[7, -2], [0, 1], [2, -2]], [14, 0, 3], [(2, 2), (0, None)]
    ),
    "bounds_equal_no_presolve": Listed(
        [1, 2], [[1, 2], ["1.1", "2.2"]], [4, 8], bounds=[(1, 2), (2, 2)]
    ),
    "singleton_row_eq_1": Listed(
        [1, 1, 1, 2], (), (), [[1, 0, 0, 0], [0, 2, 0, 0], [1, 0, 0, 0], [1, 1, 1, 1]],
        [1, 2, 2, 4],
    ),
    "singleton_row_ub_1": Listed(
        [1, 1, 1, 2], [[1, 0, 0, 0], [0, 2, 0, 0], [-1, 0, 0, 0], [1, 1, 1, 1]], [1, 2, -2, 4],
        bounds=[FREE, (0, None), (0, None), (0, None)],
    ),
    "infeasible": Listed([-1, -1], [[1, 0], [0, 1], [-1, -1]], [2, 2, -5]),
    "infeasible_inequality_bounds": Listed([1], [[2]], [4], bounds=[(5, 6)]),
    "enzo_example_c_with_infeasibility": Listed(
        [-1] * 50, (), (),
        [[Fraction(cos(2 * pi * at / 51)) - 1 for at in range(50)],
         [Fraction(sin(2 * pi * at / 51)) for at in range(50)]],
        [1, 1],
    ),
    "bug_8664": Listed([4], [[2], [5]], [4, 4], [[0], [-8], [9]], [3, 2, 10]),
}  # fmt: skip

UNBOUNDED = {
    "empty_constraint_1": Listed([-1, -2]),
    "empty_constraint_2": Listed(
        [-1, 1, -1, 1], bounds=[(0, None), (None, 0), (-1, 1), (-1, 1)]
    ),
    "unbounded": Listed([-1, -1], [[-1, 1], [-1, -1]], [-1, -2]),
    "unbounded_below_no_presolve_corrected": Listed([1], bounds=[(None, 1)]),
    "unbounded_no_nontrivial_constraints_1": Listed(
        [0, 0, 0, 1, -1, -1],
        [[1, 0, 0, 0, 0, 0], [0, 1, 0, 0, 0, 0], [0, 0, 0, 0, 0, -1]], [2, -2, 0],
        bounds=[FREE, FREE, FREE, (-1, 1), (-1, 1), (0, None)],
    ),
    "unbounded_no_nontrivial_constraints_2": Listed(
        [0, 0, 0, 1, -1, 1], [[1, 0, 0, 0, 0, 0], [0, 1, 0, 0, 0, 0], [0, 0, 0, 0, 0, 1]],
        [2, -2, 0], bounds=[FREE, FREE, FREE, (-1, 1), (-1, 1), (None, 0)],
    ),
    "enzo_example_c_with_unboundedness": Listed(
        [-1] * 50, (), (),
        [[Fraction(cos(2 * pi * at / 51)) - 1 for at in range(50)],
         [Fraction(sin(2 * pi * at / 51)) for at in range(50)]],
        [0, 0],
    ),
}  # fmt: skip


def lpgen(rows: int, columns: int) -> Listed:
    """lpgen_2d: sums of rows and of columns of a table are limited."""
    generator = numpy.random.default_rng(35892345982340246935)
    costs = -generator.exponential(size=(rows, columns))
    a_ub = [[at // columns == row for at in range(rows * columns)] for row in range(rows)]
    a_ub += [[at % columns == column for at in range(rows * columns)] for column in range(columns)]
    b_ub = [Fraction(columns, rows)] * rows + [1] * columns
    plain = [[int(entry) for entry in line] for line in a_ub]
    return Listed([Fraction(float(c)) for c in costs.ravel()], plain, b_ub)


def magic_square(side: int) -> Listed:
    """The relaxed magic square: which number stands where, each a share from 0 up."""
    cells = [(n, i, j) for n in range(side**2) for i in range(side) for j in range(side)]
    total = Fraction(side * (side**2 + 1), 2)
    lines = [([int(n == k) for n, _, _ in cells], 1) for k in range(side**2)]
    lines += [
        ([int((i, j) == (r, s)) for _, i, j in cells], 1) for r in range(side) for s in range(side)
    ]
    lines += [([(n + 1) * (i == r) for n, i, _ in cells], total) for r in range(side)]
    lines += [([(n + 1) * (j == s) for n, _, j in cells], total) for s in range(side)]
    lines.append(([(n + 1) * (i == j) for n, i, j in cells], total))
    lines.append(([(n + 1) * (i + j == side - 1) for n, i, j in cells], total))
    generator = numpy.random.default_rng(92350948245690509234)
    costs = [Fraction(float(c)) for c in generator.random(len(cells))]
    return Listed(costs, (), (), [line for line, _ in lines], [b for _, b in lines])


LARGE = {
    "lpgen_problem": (lpgen(20, 20), -63.47967608020187),
    "bug_7044": (magic_square(3), 1.7002011030086288),
    "enzo_example_c_with_degeneracy": (
        Listed(
            [-1] * 20, (), (),
            [[Fraction(cos(2 * pi * at / 21)) - 1 for at in range(1, 21)],
             [Fraction(sin(2 * pi * at / 21)) for at in range(1, 21)]],
            [0, 0],
        ),
        0,
    ),
}  # fmt: skip


def outcome_of(listed: Listed) -> tuple[Outcome, list[Fraction]]:
    """The outcome, with a certificate that holds where there can be one."""
    made, parts, starts = programme(listed)
    outcome = solve_programme(made)
    if isinstance(outcome, Unbounded):
        return outcome, []
    text = certificate_text([Proof(made, outcome)], Origin("sha256:0"))
    ((kind, _),) = check_certificate(text)
    assert kind == ("optimal" if isinstance(outcome, Optimum) else "conflict")
    return outcome, point(outcome, parts, starts) if isinstance(outcome, Optimum) else []


@pytest.mark.parametrize("name", OPTIMA)
def test_optimum(name: str) -> None:
    listed, least, x = OPTIMA[name]
    _, at = outcome_of(listed)
    if isinstance(least, str):
        assert abs(value(listed, at) - Fraction(least)) < Fraction(1, 10**6)
    else:
        assert value(listed, at) == least
    if x is not None:
        assert value(listed, [Fraction(v) for v in x]) == value(listed, at)
        if name != "singleton_row_eq_2":  # several x are as good
            assert at == x


@pytest.mark.parametrize("name", LARGE)
def test_optimum_of_floats(name: str) -> None:
    listed, least = LARGE[name]
    _, at = outcome_of(listed)
    assert abs(value(listed, at) - Fraction(least)) < Fraction(1, 10**9)


@pytest.mark.parametrize("name", CONFLICTS)
def test_conflict(name: str) -> None:
    assert isinstance(outcome_of(CONFLICTS[name])[0], Conflict)


@pytest.mark.parametrize("name", UNBOUNDED)
def test_unbounded(name: str) -> None:
    assert isinstance(outcome_of(UNBOUNDED[name])[0], Unbounded)
