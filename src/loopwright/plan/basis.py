"""The one place of this room where floats are met: a float solver suggests where to look.

What it says is never believed. A basis is only a list of columns, from which exact pivots go on;
whole numbers are only limits, with which the exact programme is solved again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from loopwright.plan.programme import Programme

TOLERANCE = 1e-9
"""Feasibility of the float solver; at its default of 1e-7 more bases are not exact."""

LEAST_ZOOM, MOST_ZOOM = 1e6, 1e12
FAR = 1e15
"""Bounds beyond this are none."""

WHOLE_NODES = 20_000
"""Branches that the search for whole stations may take; no clock, so it ends alike anywhere."""


@dataclass(frozen=True, slots=True)
class Shortfall:
    """What is exactly wrong with a basis: the value and the slope of every column, logical ones
    after those of the programme. They are fractions of any kind with p / q."""

    values: Sequence[Any]
    slopes: Sequence[Any]
    fixed: frozenset[int] | set[int]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """Columns of a basis, logical ones after those of the programme; None where the solver has
    none. `optimal` is what it thinks of it."""

    basis: list[int] | None
    optimal: bool


def suggest_basis(programme: Programme) -> Suggestion:
    """A basis that is optimal in floats, or the last one on the way to it."""
    import highspy

    solver = _solver(_model(programme))
    solver.run()
    optimal = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    basis = solver.getBasis()
    if not basis.valid:
        return Suggestion(None, optimal)
    statuses = [*basis.col_status, *basis.row_status]
    chosen = _chosen(statuses, range(len(statuses)), len(programme.rows))
    return Suggestion(chosen, optimal)


def refine_basis(programme: Programme, basic: Sequence[int], short: Shortfall) -> list[int] | None:
    """A better basis: the same programme seen from the exact values of `basic`, magnified.

    What is missing is far larger there than the tolerance. This is one step of iterative refinement
    (A. M. Gleixner, D. E. Steffy, K. Wolter, Iterative refinement for linear programming, INFORMS
    Journal on Computing 28(3), 2016, 449-464).
    """
    import highspy
    import numpy

    size, count = len(programme.columns), len(programme.rows)
    values, slopes = short.values, short.slopes
    extra = [j for j in range(size, size + count) if j not in short.fixed]
    columns = [*range(size), *extra]
    missing = [-values[j] if j not in short.fixed else abs(values[j]) for j in range(size + count)]
    wide = _zoom(max(missing))
    steep = _zoom(max(-slopes[j] for j in columns))
    model = _model(programme, extra)
    low = [-_ratio(values[j]) * wide for j in columns]
    model.col_lower_ = numpy.array([-highspy.kHighsInf if one < -FAR else one for one in low])
    model.col_cost_ = numpy.array([_ratio(slopes[j]) * steep for j in columns])
    rest = [
        _ratio(values[size + row]) * wide if size + row in short.fixed else 0.0
        for row in range(count)
    ]
    model.row_lower_ = model.row_upper_ = numpy.array(rest)
    solver = _solver(model)
    start, inside = highspy.HighsBasis(), set(basic)
    status = highspy.HighsBasisStatus
    start.col_status = [status.kBasic if j in inside else status.kLower for j in columns]
    start.row_status = [
        status.kBasic if size + row in inside and size + row in short.fixed else status.kLower
        for row in range(count)
    ]
    start.valid = True
    solver.setBasis(start)
    solver.run()
    basis = solver.getBasis()
    if not basis.valid:
        return None
    statuses = [*basis.col_status, *basis.row_status]
    return _chosen(statuses, [*columns, *range(size, size + count)], count)


def suggest_whole(programme: Programme, whole: Sequence[int]) -> list[int] | None:
    """Values of the columns `whole` as whole numbers, at least cost.

    None where there are none, as far as floats can tell.
    """
    import highspy

    model = _model(programme)
    kinds = [highspy.HighsVarType.kContinuous] * len(programme.columns)
    for column in whole:
        kinds[column] = highspy.HighsVarType.kInteger
    model.integrality_ = kinds
    solver = _solver(model)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_feasibility_tolerance", TOLERANCE)
    solver.setOptionValue("mip_max_nodes", WHOLE_NODES)
    solver.run()
    found = solver.getInfo().primal_solution_status
    if found != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    values = solver.getSolution().col_value
    return [round(values[column]) for column in whole]


def float_optimum(programme: Programme) -> float | None:
    """The least cost in floats, for comparison; None where there is no optimum."""
    import highspy

    solver = _solver(_model(programme))
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    value: float = solver.getInfo().objective_function_value
    return value


def _chosen(statuses: Sequence[Any], names: Sequence[int], count: int) -> list[int] | None:
    """Columns that are basic, where there are as many as rows."""
    import highspy

    basic = highspy.HighsBasisStatus.kBasic
    chosen = [name for name, status in zip(names, statuses, strict=True) if status == basic]
    return chosen if len(set(chosen)) == count else None


def _model(programme: Programme, extra: Sequence[int] = ()) -> Any:
    """The programme in floats; `extra` logical columns are columns of their own."""
    import highspy
    import numpy

    columns, rows = programme.columns, programme.rows
    endless = highspy.kHighsInf
    starts, index, value = [0], [], []
    for column in columns:
        for row, entry in column.entries.items():
            index.append(row)
            value.append(_near(entry))
        starts.append(len(index))
    for j in extra:
        index.append(j - len(columns))
        value.append(-1.0 if rows[j - len(columns)].sense == ">=" else 1.0)
        starts.append(len(index))
    rhs = [_near(row.rhs) for row in rows]
    low = [-endless if row.sense == "<=" else b for row, b in zip(rows, rhs, strict=True)]
    high = [endless if row.sense == ">=" else b for row, b in zip(rows, rhs, strict=True)]
    size = len(columns) + len(extra)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = size, len(rows)
    model.col_cost_ = numpy.array(
        [*(_near(column.cost) for column in columns), *(0.0 for _ in extra)]
    )
    model.col_lower_ = numpy.zeros(size)
    model.col_upper_ = numpy.full(size, endless)
    model.row_lower_, model.row_upper_ = numpy.array(low), numpy.array(high)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = numpy.array(starts, dtype=numpy.int32)
    model.a_matrix_.index_ = numpy.array(index, dtype=numpy.int32)
    model.a_matrix_.value_ = numpy.array(value)
    return model


def _solver(model: Any) -> Any:
    """The solver with `model`. Its class for Python prints a line when made; the one below not."""
    import highspy

    solver: Any = highspy.Highs.__base__()  # type: ignore[misc]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("primal_feasibility_tolerance", TOLERANCE)
    solver.setOptionValue("dual_feasibility_tolerance", TOLERANCE)
    solver.passModel(model)
    return solver


def _zoom(wrong: Any) -> float:
    """Factor that makes what is wrong about 1."""
    return min(MOST_ZOOM, max(LEAST_ZOOM, 1 / _ratio(wrong))) if wrong > 0 else LEAST_ZOOM


def _ratio(value: Any) -> float:
    return int(value.p) / int(value.q)


def _near(value: Fraction) -> float:
    """The nearest float."""
    return value.numerator / value.denominator
