"""How much of everything, exactly: rates, stations, imports, belts, and the proof of it."""

from loopwright.plan.balance import Balance, choose_maker, collect_balance
from loopwright.plan.explain import explain_plan
from loopwright.plan.plan import (
    BeltNeed,
    Flow,
    Headroom,
    LimitUse,
    MaterialPlan,
    Plan,
    ProcessPlan,
    TreatmentPlan,
)
from loopwright.plan.steady import check_plan, plan_of, solve_plan
from loopwright.plan.study import Proof, RefusedError, settle

__all__ = [
    "Balance",
    "BeltNeed",
    "Flow",
    "Headroom",
    "LimitUse",
    "MaterialPlan",
    "Plan",
    "ProcessPlan",
    "Proof",
    "RefusedError",
    "TreatmentPlan",
    "check_plan",
    "choose_maker",
    "collect_balance",
    "explain_plan",
    "plan_of",
    "settle",
    "solve_plan",
]
