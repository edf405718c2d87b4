"""The plan of a project with its proofs: what is solved, in which order.

Where a product is maximised, its most comes first; then the cheapest way to that much. Where
whole stations do not fit, they are divided, and the programme is solved again with that division.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan.balance import collect_balance
from loopwright.plan.conflict import explain_conflict
from loopwright.plan.formulation import Formulation, formulate
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Column, Conflict, Optimum, Programme, Row, Unbounded
from loopwright.plan.station import too_many_stations
from loopwright.plan.whole import divide_stations, is_over, with_stations


@dataclass(frozen=True, slots=True)
class Proof:
    """A programme and what proves its outcome."""

    programme: Programme
    outcome: Optimum | Conflict


class RefusedError(DesignError):
    """No plan meets the demand; `proof` shows it."""

    def __init__(self, findings: tuple[Finding, ...], proof: Proof) -> None:
        super().__init__(findings)
        self.proof = proof


@dataclass(frozen=True, slots=True)
class Settled:
    """The formulation as it was solved last, its optimum, and that of the product maximised."""

    formulation: Formulation
    optimum: Optimum
    most: Proof | None = None

    @property
    def proofs(self) -> tuple[Proof, ...]:
        """Proofs in the order in which they were found."""
        cheapest = Proof(self.formulation.programme, self.optimum)
        return (self.most, cheapest) if self.most else (cheapest,)


def settle(project: Project) -> Settled:
    """The cheapest quantities that meet the demand of `project`, with whole stations that fit.

    Raises
    ------
    RefusedError
        Limits conflict; the findings name a smallest set of them.
    DesignError
        A material has no source, or whole stations do not fit.
    """
    formulation = formulate(project, collect_balance(project))
    settled = _solved(project, formulation)
    if not is_over(project, settled.formulation, settled.optimum):
        return settled
    maximised = project.choices.maximise
    first = formulation if maximised == "none" else _for_most(formulation, maximised)
    stations = divide_stations(project, first, by_cost=maximised == "none")
    ways = settled.formulation.ways
    if stations is None:
        raise DesignError(tuple(too_many_stations(project, ways, settled.optimum.x)))
    try:
        return _solved(project, with_stations(formulation, stations))
    except RefusedError:
        raise DesignError(tuple(too_many_stations(project, ways, settled.optimum.x))) from None


def _solved(project: Project, formulation: Formulation) -> Settled:
    """Most first, then cheapest."""
    maximised, most = project.choices.maximise, None
    if maximised != "none":
        first = _for_most(formulation, maximised)
        outcome = solve_programme(first.programme)
        if isinstance(outcome, Unbounded):
            raise DesignError((_endless(formulation, maximised, outcome),))
        if isinstance(outcome, Conflict):
            raise _refused(formulation, Proof(first.programme, outcome))
        most = Proof(first.programme, outcome)
        formulation = _held(formulation, maximised, -outcome.value)
    needs = tuple(formulation.materials.values())
    outcome = solve_programme(formulation.programme, _least_of_all(formulation), needs)
    if isinstance(outcome, Conflict):
        raise _refused(formulation, Proof(formulation.programme, outcome))
    assert isinstance(outcome, Optimum), "costs are never below 0"
    return Settled(formulation, outcome, most)


def _refused(formulation: Formulation, proof: Proof) -> RefusedError:
    return RefusedError(explain_conflict(formulation), proof)


def _for_most(formulation: Formulation, product: str) -> Formulation:
    """The same, to make as much of `product` as possible."""
    costs = {formulation.deliveries[product]: Fraction(-1)}
    programme = formulation.programme.with_costs(f"as much {product} as possible", costs)
    return replace(formulation, programme=programme)


def _held(formulation: Formulation, product: str, rate: Fraction) -> Formulation:
    """The same with the rate [units/s] of `product` held."""
    row = _demand_row(formulation, product)
    rows = list(formulation.programme.rows)
    rows[row] = Row(rows[row].name, "=", rate, rows[row].reason)
    return replace(formulation, programme=replace(formulation.programme, rows=tuple(rows)))


def _demand_row(formulation: Formulation, product: str) -> int:
    return next(
        row
        for row, limit in formulation.limits.items()
        if limit.kind == "demand" and limit.name == product
    )


def _least_of_all(formulation: Formulation) -> tuple[Fraction, ...]:
    """Second costs where something is free: of equal plans, the one that does least."""
    columns = formulation.programme.columns
    idle = set(formulation.drains.values()) | set(formulation.deliveries.values())
    if all(column.cost for at, column in enumerate(columns) if at not in idle):
        return ()
    return tuple(
        Fraction(0) if at in idle
        else formulation.ways[at].time if at in formulation.ways
        else Fraction(1)
        for at in range(len(columns))
    )  # fmt: skip


def _endless(formulation: Formulation, product: str, outcome: Unbounded) -> Finding:
    growing = ", ".join(
        f"{way.process} with {way.treatment}" if way.treatment else way.process
        for column, way in formulation.ways.items()
        if outcome.ray[column]
    )
    return new_finding(
        "LW209",
        f"nothing limits {product}: {growing or 'its import'} can run at any rate",
        Place(path="choices.maximise"),
        value=product,
        allowed="a product that some limit of stations, docks, deposits or rates holds back",
    )


def without_treatment(formulation: Formulation, treatment: str) -> Programme:
    """The programme without the ways that use `treatment`."""
    columns = [
        Column(column.name, column.cost, {})
        if at in formulation.ways and formulation.ways[at].treatment == treatment
        else column
        for at, column in enumerate(formulation.programme.columns)
    ]
    return replace(formulation.programme, columns=tuple(columns))
