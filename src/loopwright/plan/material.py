"""From cycles a second to the account of each material."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from loopwright.exact import format_rate
from loopwright.finding import Finding, Place, new_finding
from loopwright.model import Project
from loopwright.plan.balance import Balance
from loopwright.plan.plan import MaterialPlan


def plan_material(balance: Balance, rates: Mapping[str, Fraction], material: str) -> MaterialPlan:
    """What becomes of `material` at these `rates` [1/s]; what is missing is imported."""
    made = _flow(balance.made, rates, material)
    used = _flow(balance.used, rates, material)
    demanded = balance.wanted(material)
    left = made - used - demanded
    assert left >= 0 or material not in balance.maker
    return MaterialPlan(
        material=material,
        made=made,
        imported=max(-left, Fraction(0)),
        used=used,
        demanded=demanded,
        surplus=max(left, Fraction(0)),
    )


def check_docks(project: Project, materials: tuple[MaterialPlan, ...]) -> list[Finding]:
    """A finding for each material of which the docks let in too little.

    A material without a dock has no limit.
    """
    findings = []
    for entry in materials:
        rates = [dock.rate for dock in project.site.docks if dock.material == entry.material]
        given = sum(rates, Fraction(0))
        if not rates or entry.imported <= given:
            continue
        missing = format_rate(entry.imported - given)
        findings.append(
            new_finding(
                "LW203",
                f"{entry.material}: {format_rate(entry.imported)} are imported, the docks let in "
                f"{format_rate(given)}; {missing} are missing",
                Place(path=f"materials.{entry.material}"),
                value=format_rate(entry.imported),
                allowed=f"at most {format_rate(given)}",
                remedy=f"add {missing} at the docks of {entry.material}, or lower the demand",
            )
        )
    return findings


def _flow(
    units: Mapping[tuple[str, str], Fraction], rates: Mapping[str, Fraction], material: str
) -> Fraction:
    return sum(
        (units.get((name, material), Fraction(0)) * rate for name, rate in rates.items()),
        Fraction(0),
    )
