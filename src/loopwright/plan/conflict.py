"""Why a demand cannot be met: a smallest set of limits that conflict, and how far each must move.

The weights of an exact conflict (Farkas) name limits that together cannot hold. Of these, each in
turn is left out: if the rest still conflicts, it goes for good. What is left conflicts, and every
part of it can hold (deletion filter: J. W. Chinneck, E. W. Dravnieks, Locating minimal infeasible
constraint sets in linear programs, ORSA Journal on Computing 3(2), 1991, 157-168).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from math import ceil

from loopwright.finding import Finding, Place, new_finding
from loopwright.plan.amount import amount_text, rate_text
from loopwright.plan.formulation import Formulation
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Column, Conflict, Optimum

MOST_SETS = 5
_CODES = {
    "demand": "LW201", "stations": "LW202", "docks": "LW203", "deposit": "LW203",
    "least": "LW207", "most": "LW207", "surplus": "LW208", "share": "LW202",
}  # fmt: skip


def explain_conflict(formulation: Formulation) -> tuple[Finding, ...]:
    """A finding for each limit of a smallest set that conflicts, and of further such sets.

    The programme has to be one without any solution.
    """
    findings: list[Finding] = []
    dropped: frozenset[int] = frozenset()
    for _ in range(MOST_SETS):
        members = smallest_conflict(formulation, dropped)
        if not members:
            break
        known = {(finding.code, finding.value) for finding in findings}
        findings += (
            finding
            for finding in _findings(formulation, members, dropped)
            if finding.code != "LW204" or (finding.code, finding.value) not in known
        )
        hard = [row for row in members if formulation.limits[row].kind != "demand"]
        dropped |= frozenset(hard or members)
    return tuple(findings)


def smallest_conflict(
    formulation: Formulation, dropped: frozenset[int] = frozenset()
) -> tuple[int, ...]:
    """Rows of limits that conflict, none to spare; the `dropped` ones are no limits.

    Empty where there is no conflict.
    """
    limits = frozenset(formulation.limits)
    members = _conflicting(formulation, limits - dropped)
    if members is None:
        return ()
    for row in sorted(members):
        if row in members:
            fewer = _conflicting(formulation, members - {row})
            members = members if fewer is None else fewer
    return tuple(sorted(members))


def needed_move(formulation: Formulation, row: int, dropped: frozenset[int]) -> Fraction | None:
    """How far this limit alone must give way; None where that is not enough."""
    programme = formulation.programme.without(dropped)
    place = row - sum(other < row for other in dropped)
    sense = programme.rows[place].sense
    columns = [replace(column, cost=Fraction(0)) for column in programme.columns]
    give = Fraction(-1 if sense == "<=" else 1)
    columns.append(Column("give way", Fraction(1), {place: give}))
    outcome = solve_programme(replace(programme, columns=tuple(columns)))
    return outcome.value if isinstance(outcome, Optimum) else None


def _conflicting(formulation: Formulation, active: frozenset[int]) -> frozenset[int] | None:
    """Those of the `active` limits that carry weight in a conflict; None where all can hold."""
    idle = frozenset(formulation.limits) - active
    free = {column: Fraction(0) for column in range(len(formulation.programme.columns))}
    programme = formulation.programme.without(idle).with_costs("any", free)
    outcome = solve_programme(programme)
    if not isinstance(outcome, Conflict):
        return None
    kept = [row for row in range(len(formulation.programme.rows)) if row not in idle]
    return frozenset(
        row for row, weight in zip(kept, outcome.y, strict=True) if weight and row in active
    )


def _findings(
    formulation: Formulation, members: tuple[int, ...], dropped: frozenset[int]
) -> Iterable[Finding]:
    limits = formulation.limits
    if all(limits[row].kind == "demand" for row in members):
        return [_no_round(formulation, members)]
    outside = frozenset(limits) - frozenset(members)
    found = []
    for row in members:
        others = ", ".join(limits[other].path for other in members if other != row)
        alone = needed_move(formulation, row, dropped)
        within = alone if alone is not None else needed_move(formulation, row, outside)
        assert within is not None, "a smallest set has no conflict without one of its members"
        found.append(_finding(formulation, row, within, others, alone=alone is not None))
    return found


def _finding(
    formulation: Formulation, row: int, move: Fraction, others: str, *, alone: bool
) -> Finding:
    limit, bound = formulation.limits[row], formulation.programme.rows[row].rhs
    name, rate = limit.name, rate_text
    if limit.kind in ("stations", "share"):
        needed, more = amount_text(bound + move), amount_text(move)
        message = (
            f"{needed} stations of kind {name} are needed, {more} more than the limit of {bound}"
        )
        allowed, remedy = f"at least {needed}", f"raise the limit to {ceil(bound + move)}"
    elif limit.kind in ("docks", "deposit"):
        source = "the docks let in" if limit.kind == "docks" else "the deposit gives"
        message = (
            f"{name}: {rate(bound + move)} have to come, {source} {rate(bound)}; "
            f"{rate(move)} are missing"
        )
        allowed, remedy = f"at least {rate(bound + move)}", f"add {rate(move)} of {name}"
    elif limit.kind == "demand":
        message = f"of {rate(bound)} of {name}, {rate(bound - move)} can be made"
        allowed, remedy = f"at most {rate(bound - move)}", f"lower the demand by {rate(move)}"
    elif limit.kind == "surplus":
        message = f"{name}: {rate(move)} are left over, and surplus is forbidden"
        allowed, remedy = f"{rate(move)} of surplus", "let it drain, or add a process that uses it"
    else:
        sign = -1 if limit.kind == "least" else 1
        wanted = rate(bound + sign * move)
        message = f"{name} runs at {limit.kind} {rate(bound)}, but has to run at {wanted}"
        allowed, remedy = f"at {'most' if sign < 0 else 'least'} {wanted}", f"set it to {wanted}"
    if others:
        message += f" (against {others})"
    if not alone:
        remedy += ", and move another one that is named too: it is not enough alone"
    return new_finding(
        _CODES[limit.kind], message, Place(path=limit.path), value=str(bound), allowed=allowed,
        remedy=remedy,
    )  # fmt: skip


def _no_round(formulation: Formulation, members: tuple[int, ...]) -> Finding:
    """A demand that no limit but the processes themselves keeps from being met."""
    ways = list(formulation.ways.values())
    feeds = {
        way.process: {other.process for other in ways if set(other.makes) & set(way.uses)}
        for way in ways
    }
    names = [name for name in feeds if name in _upstream(feeds, name)]
    demand = ", ".join(
        f"{formulation.limits[row].name} {rate_text(formulation.programme.rows[row].rhs)}"
        for row in members
    )
    if not names:
        return new_finding(
            "LW201",
            f"no processes that may run make the demand ({demand})",
            Place(path=formulation.limits[members[0]].path),
            value=demand,
            remedy="let one of the processes run (`most`), or set `supply: either` for what it "
            "makes",
        )
    listed = ", ".join(names)
    return new_finding(
        "LW204",
        f"{listed}: going round once takes at least as much as it gives, so no rate meets the "
        f"demand ({demand})",
        Place(path=f"processes.{names[0]}"),
        value=listed,
        allowed="a round that gives more than it takes",
        remedy="raise the outputs or the yield, lower the inputs, or set `supply: imported` for a "
        "material of the round",
    )


def _upstream(feeds: dict[str, set[str]], start: str) -> set[str]:
    """All processes that `start` needs, directly or not; with itself only if it lies on a loop."""
    reached: set[str] = set()
    waiting = list(feeds[start])
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            waiting.extend(feeds[name])
    return reached
