"""How much of everything, exactly: rates, stations, imports, belts."""

from loopwright.plan.balance import Balance, choose_maker, collect_balance
from loopwright.plan.plan import BeltNeed, MaterialPlan, Plan, ProcessPlan
from loopwright.plan.solve import solve_rates
from loopwright.plan.steady import check_plan, solve_plan

__all__ = [
    "Balance",
    "BeltNeed",
    "MaterialPlan",
    "Plan",
    "ProcessPlan",
    "check_plan",
    "choose_maker",
    "collect_balance",
    "solve_plan",
    "solve_rates",
]
