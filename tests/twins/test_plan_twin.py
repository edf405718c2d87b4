"""The plan against its slow twin, on random trees and networks of processes."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.plan import collect_balance, solve_plan
from loopwright.plan.formulation import formulate
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Optimum
from reference import plan as twin
from tests.plan.networks import as_project, network
from tests.plan.sample import equipment, project

RATIO = st.fractions(min_value=Fraction(1, 9), max_value=9, max_denominator=9)


@st.composite
def networks(draw: st.DrawFn) -> dict[str, Any]:
    """Materials m0 (the product) to m(n-1); each needs only later ones, the last are imported."""
    size = draw(st.integers(2, 8))
    made = draw(st.integers(1, size - 1))
    processes = {}
    for index in range(made):
        parts = draw(
            st.dictionaries(st.integers(index + 1, size - 1), st.integers(1, 9), min_size=1)
        )
        processes[f"p{index}"] = {
            "inputs": {f"m{part}": units for part, units in parts.items()},
            "outputs": {f"m{index}": draw(st.integers(1, 5))},
            "yield": draw(RATIO),
            "cycle": draw(RATIO),
            "speed": Fraction(3, 2),
        }
    return {
        "demand": {"m0": draw(RATIO), **draw(st.dictionaries(st.just("m1"), RATIO))},
        "imported": [f"m{index}" for index in range(made, size)],
        "processes": processes,
    }


def planned(case: dict[str, Any]) -> Any:
    """The plan of the same case."""
    processes = {
        name: {
            "inputs": process["inputs"],
            "outputs": process["outputs"],
            "yield": process["yield"],
            "cycle": f"{process['cycle']} s",
        }
        for name, process in case["processes"].items()
    }
    supplies = {material: {"supply": "imported"} for material in case["imported"]}
    return solve_plan(
        project(
            processes,
            case["demand"],
            materials=supplies,
            equipment=equipment(speed=str(Fraction(3, 2))),
        )
    )


@settings(max_examples=60, deadline=None)
@given(networks())
def test_same_rates_imports_and_stations(case: dict[str, Any]) -> None:
    fast = planned(case)
    ref = twin.explode(case)
    assert {entry.process: entry.cycles for entry in fast.processes} == ref["cycles"]
    fast_imports = {m.material: m.imported for m in fast.materials if m.imported}
    assert fast_imports == ref["imports"]
    ref_stations = twin.stations(case, ref["cycles"])
    fast_stations = {entry.process: (entry.stations, entry.whole) for entry in fast.processes}
    assert fast_stations == ref_stations


@settings(max_examples=60, deadline=None)
@given(networks())
def test_materials_balance_and_products_stand_first(case: dict[str, Any]) -> None:
    fast = planned(case)
    for m in fast.materials:
        assert m.made + m.imported == m.used + m.demanded + m.surplus
        assert min(m.made, m.imported, m.used, m.demanded, m.surplus) >= 0
    order = [entry.process for entry in fast.processes]
    for index, name in enumerate(order):
        inputs = case["processes"][name]["inputs"]
        for earlier in order[:index]:
            assert not set(case["processes"][earlier]["outputs"]) & set(inputs)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 5), st.integers(1, 5), st.integers(1, 4), RATIO)
def test_rounds_close_in_on_a_loop(give: int, back: int, take: int, rate: Fraction) -> None:
    gain = Fraction(take, give * back)
    case = {
        "demand": {"x": rate},
        "imported": [],
        "processes": {
            "p": {"inputs": {"y": 1}, "outputs": {"x": give}, "yield": 1, "cycle": 1, "speed": 1},
            "q": {"inputs": {"x": take}, "outputs": {"y": back}, "yield": 1, "cycle": 1},
        },
    }
    if gain >= Fraction(3, 4):
        return
    fast = planned(case).process("p").cycles
    ref = [twin.iterate(case, rounds)["p"] for rounds in (2, 10, 100)]
    assert ref == sorted(ref)
    assert ref[-1] <= fast <= ref[-1] + Fraction(1, 10**5)


@pytest.mark.parametrize("block", range(5))
def test_same_least_cost_of_whole_sites(block: int) -> None:
    for seed in range(block * 20, block * 20 + 20):
        case = network(seed, (4, 6, 8, 10)[seed % 4], tight=seed % 3 > 0)
        ref = twin.cheapest(case)
        given = as_project(case)
        fast = solve_programme(formulate(given, collect_balance(given)).programme)
        assert isinstance(fast, Optimum) == (ref["status"] == "optimal"), seed
        if isinstance(fast, Optimum):
            assert fast.value == ref["cost"], seed


def test_same_cycles_where_only_one_plan_is_cheapest() -> None:
    case = {
        **network(7, 8),
        "objective": {"effort": 1, "power": 0, "imports": 1},
    }
    ref = twin.cheapest(case)
    fast = solve_plan(as_project(case))
    assert fast.cost == ref["cost"]
    for name, cycles in ref["cycles"].items():
        ran = sum((e.cycles for e in fast.processes if e.process == name), Fraction(0))
        assert ran == cycles
