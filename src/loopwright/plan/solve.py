"""Rates of all processes, exactly.

Each process has one governing material, whose balance is an equation: made - used = demanded. The
equations are solved together, so processes may feed themselves and each other. A process with
several outputs runs for the one that needs it most; the others are surplus. See
docs/theory/plan.md.
"""

from __future__ import annotations

from fractions import Fraction

from loopwright.exact import SingularError, format_rate, solve
from loopwright.finding import DesignError, Finding, Place, new_finding
from loopwright.plan.balance import Balance


def solve_rates(balance: Balance) -> dict[str, Fraction]:
    """Cycles a second of each process that meet the demand with the least of everything [1/s].

    Raises
    ------
    DesignError
        The processes use up as much as they make, so that no rates meet the demand.
    """
    governing: dict[str, str] = {}
    for material, process in balance.maker.items():
        governing.setdefault(process, material)
    seen = set()
    while (state := frozenset(governing.items())) not in seen:
        seen.add(state)
        rates = _rates(balance, governing)
        stopped = [name for name, rate in rates.items() if rate < 0]
        if stopped:
            for name in stopped:
                if not _has_other_source(balance, name, governing[name]):
                    raise DesignError((_no_balance(balance),))
                del governing[name]
            continue
        short = _shortages(balance, rates)
        if not short:
            return rates
        for process, material in short.items():
            governing[process] = material
    raise DesignError((_no_choice(balance),))


def residue(balance: Balance, rates: dict[str, Fraction], material: str) -> Fraction:
    """Made - used - demanded of `material` at these rates [units/s]."""
    made = sum((balance.net(name, material) * rate for name, rate in rates.items()), Fraction(0))
    return made - balance.wanted(material)


def _rates(balance: Balance, governing: dict[str, str]) -> dict[str, Fraction]:
    """Rates at which every governing material balances; processes without one stand still."""
    active = [name for name in balance.processes if name in governing]
    rows = [[balance.net(name, governing[row]) for name in active] for row in active]
    try:
        solved = solve(rows, [balance.wanted(governing[row]) for row in active])
    except SingularError:
        raise DesignError((_no_balance(balance),)) from None
    found = dict(zip(active, solved, strict=True))
    return {name: found.get(name, Fraction(0)) for name in balance.processes}


def _shortages(balance: Balance, rates: dict[str, Fraction]) -> dict[str, str]:
    """For each process that has to run more, the output that is shortest in terms of its cycles."""
    worst: dict[str, tuple[Fraction, str]] = {}
    for material, process in balance.maker.items():
        left = residue(balance, rates, material)
        if left >= 0:
            continue
        cycles = left / balance.made[process, material]
        if process not in worst or cycles < worst[process][0]:
            worst[process] = (cycles, material)
    return {process: material for process, (_, material) in worst.items()}


def _has_other_source(balance: Balance, process: str, material: str) -> bool:
    return any((other, material) in balance.made for other in balance.processes if other != process)


def _no_balance(balance: Balance) -> Finding:
    """The processes that lie on a loop of feeding, which is what can have no balance."""
    feeds = {
        name: {balance.maker[m] for p, m in balance.used if p == name and m in balance.maker}
        for name in balance.processes
    }
    names = [name for name in balance.processes if name in _upstream(feeds, name)]
    listed = ", ".join(names or balance.processes)
    demand = ", ".join(
        f"{material} {format_rate(rate)}" for material, rate in balance.demand.items()
    )
    return new_finding(
        "LW204",
        f"{listed}: going round once takes at least as much as it gives, so no rate meets the "
        f"demand ({demand})",
        Place(path=f"processes.{(names or list(balance.processes))[0]}"),
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


def _no_choice(balance: Balance) -> Finding:
    listed = ", ".join(balance.processes)
    return new_finding(
        "LW201",
        f"by-products of {listed} depend on each other so that one process for each material does "
        "not settle the rates",
        value=listed,
        remedy="set `supply: imported` for one of the by-products",
    )
