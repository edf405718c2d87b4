"""The other place where floats are met: a solver for whole numbers is asked for a covering.

What it says is a list of cells, which is counted over in whole numbers, and a bound, which is
rounded so that an error of the solver's tolerance does not lift it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from loopwright.layout.power.covering import Covering

SLACK = 1e-6
"""What a bound may be wrong by."""

MOST_NODES = 400
"""Branches that a search looks into. A count, not a time: the same answer on every machine."""

SECONDS = 60.0
"""Time after which a search is stopped whatever it has, as a fence on very slow machines."""


@dataclass(frozen=True, slots=True)
class Answer:
    """Numbers of the chosen cells, None where none were found, and the fewest there can be."""

    chosen: tuple[int, ...] | None
    bound: int


def solve_whole(covering: Covering, nodes: int = MOST_NODES) -> Answer:
    """The best choice found for `covering`, and the solver's bound."""
    import highspy

    solver = _solver(covering, whole=True)
    solver.setOptionValue("mip_max_nodes", nodes)
    solver.setOptionValue("time_limit", SECONDS)
    solver.run()
    info = solver.getInfo()
    bound = _rounded_up(info.mip_dual_bound)
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Answer(None, bound)
    values = solver.getSolution().col_value
    chosen = tuple(number for number, value in enumerate(values) if 2 * value > 1)
    return Answer(chosen, min(bound, len(chosen)))


def shared_bound(covering: Covering) -> int:
    """The fewest cells there can be where shares of cells are allowed, rounded up."""
    solver = _solver(covering, whole=False)
    solver.setOptionValue("solver", "ipm")
    solver.run()
    return _rounded_up(solver.getInfo().objective_function_value)


def _rounded_up(value: float) -> int:
    """The least whole number that is not clearly below `value`; 0 where there is no value."""
    if not 0 <= value < 1e9:
        return 0
    return int(-((SLACK - value) // 1))


def _solver(covering: Covering, *, whole: bool) -> Any:
    """The solver with the covering as a programme: a column a cell, a row a device."""
    import highspy
    import numpy

    rows = {device: row for row, device in enumerate(sorted(covering.devices))}
    starts, index = [0], []
    for devices in covering.reaches:
        index += sorted(rows[device] for device in devices)
        starts.append(len(index))
    size, count = len(covering.cells), len(rows)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = size, count
    model.col_cost_ = numpy.ones(size)
    model.col_lower_, model.col_upper_ = numpy.zeros(size), numpy.ones(size)
    model.row_lower_ = numpy.ones(count)
    model.row_upper_ = numpy.full(count, highspy.kHighsInf)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = numpy.array(starts, dtype=numpy.int32)
    model.a_matrix_.index_ = numpy.array(index, dtype=numpy.int32)
    model.a_matrix_.value_ = numpy.ones(len(index))
    if whole:
        model.integrality_ = [highspy.HighsVarType.kInteger] * size
    solver: Any = highspy.Highs.__base__()  # type: ignore[misc]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.passModel(model)
    return solver
