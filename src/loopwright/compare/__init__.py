"""Which design is better, and how much does one stand? Studies of many runs side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from loopwright.compare.comparison import Comparison as Comparison
    from loopwright.compare.design import measure_design as measure_design
    from loopwright.compare.stress.battery import Battery as Battery
    from loopwright.compare.stress.case import Case as Case
    from loopwright.compare.stress.case import stress_cases as stress_cases
    from loopwright.compare.stress.measure import measure_case as measure_case
    from loopwright.compare.study import Study as Study
    from loopwright.compare.study import Variant as Variant
    from loopwright.compare.study import read_axis as read_axis
    from loopwright.compare.study import study_of as study_of
    from loopwright.compare.study import usual_variants as usual_variants
    from loopwright.compare.study import varied as varied
    from loopwright.compare.workers import compare_designs as compare_designs
    from loopwright.compare.workers import run_cases as run_cases

_HOMES = {
    "Battery": "stress.battery",
    "Case": "stress.case",
    "Comparison": "comparison",
    "Study": "study",
    "Variant": "study",
    "compare_designs": "workers",
    "measure_case": "stress.measure",
    "measure_design": "design",
    "read_axis": "study",
    "run_cases": "workers",
    "stress_cases": "stress.case",
    "study_of": "study",
    "usual_variants": "study",
    "varied": "study",
}


def __getattr__(name: str) -> Any:
    """Load the engine only when it is asked for."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__} has no attribute {name}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
