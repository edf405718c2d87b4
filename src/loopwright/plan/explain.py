"""The plan in sentences: what limits it, what one more would cost, what pays."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from loopwright.plan.amount import amount_text, rate_text
from loopwright.plan.plan import LimitUse, Plan

MINUTE = 60


def explain_plan(plan: Plan) -> tuple[str, ...]:
    """What the numbers mean; costs are in the measure of choices.objective."""
    return (*_reach(plan), *_limits(plan), *_demands(plan), *_treatments(plan), *_idle(plan))


def _reach(plan: Plan) -> Iterator[str]:
    if plan.maximised:
        rate = plan.material(plan.maximised).demanded
        yield f"{rate_text(rate)} of {plan.maximised} are the most that the limits allow."
    if plan.headroom is not None:
        paths = ", ".join(path for path in plan.headroom.paths if not path.startswith("demand."))
        times = amount_text(plan.headroom.factor)
        if plan.headroom.factor == 1:
            yield f"The demand as a whole cannot grow; it is stopped by {paths}."
        else:
            yield f"The demand as a whole could grow to {times} times, then stopped by {paths}."


def _limits(plan: Plan) -> Iterator[str]:
    for entry in plan.limits:
        if entry.kind == "demand" or not entry.binds:
            continue
        counted = entry.kind in ("stations", "share")
        per, unit = (1, "station") if counted else (MINUTE, "unit a minute")
        effects = []
        if entry.gain:
            gain = amount_text(abs(entry.gain) / per * MINUTE)
            less = "less" if entry.gain < 0 else "more"
            effects.append(f"gives {gain} a minute {less} of {plan.maximised}")
        if entry.price:
            saves = "saves" if entry.price < 0 else "costs"
            effects.append(f"{saves} {amount_text(abs(entry.price) / per)}")
        yield f"{_used_up(entry)}; one more {unit} {' and '.join(effects)} ({entry.path})."


def _used_up(entry: LimitUse) -> str:
    if entry.kind == "stations":
        return f"All {entry.limit} stations of kind {entry.name} are used"
    if entry.kind == "share":
        return f"{entry.name} has {entry.limit} whole stations of those that are divided"
    if entry.kind == "docks":
        return f"The docks of {entry.name} let in no more than {rate_text(entry.limit)}"
    if entry.kind == "deposit":
        return f"The deposit of {entry.name} gives no more than {rate_text(entry.limit)}"
    if entry.kind == "surplus":
        return f"No surplus of {entry.name} is allowed"
    return f"{entry.name} runs at its {entry.kind} rate, {rate_text(entry.limit)}"


def _demands(plan: Plan) -> Iterator[str]:
    for entry in plan.limits:
        if entry.kind == "demand" and entry.name != plan.maximised:
            more = amount_text(entry.price / MINUTE)
            yield f"One more {entry.name} a minute costs {more}."


def _treatments(plan: Plan) -> Iterator[str]:
    for entry in plan.treatments:
        spent = f"{entry.treatment} spends {rate_text(entry.spent)} of {entry.agent}"
        if entry.saving is None:
            yield f"{spent}; without it the demand cannot be met."
        else:
            yield f"{spent} and saves {_saved(plan.cost, entry.saving)}."


def _saved(cost: Fraction, saving: Fraction) -> str:
    return f"{amount_text(saving)}: without it the plan costs {amount_text(cost + saving)}"


def _idle(plan: Plan) -> Iterator[str]:
    for entry in plan.processes:
        if not entry.cycles and entry.premium:
            more = amount_text(entry.premium / MINUTE)
            yield f"{entry.process} stands still: a cycle a minute would cost at least {more} more."
