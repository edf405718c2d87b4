"""500 random networks: the exact optimum is that of floats to seven digits, and proved."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.plan import collect_balance
from loopwright.plan.basis import float_optimum
from loopwright.plan.certificate import certificate_text
from loopwright.plan.checker import check_certificate
from loopwright.plan.formulation import formulate
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Conflict, Optimum
from loopwright.plan.study import Proof
from loopwright.record import Origin
from tests.plan.networks import as_project, network

SIZES = (10, 10, 15, 20, 30, 10, 12, 20, 40, 60)
BLOCKS = 20


def agree(seed: int, processes: int, *, tight: bool) -> str:
    """Solve one network both ways, and check its proof."""
    project = as_project(network(seed, processes, tight=tight))
    programme = formulate(project, collect_balance(project)).programme
    outcome = solve_programme(programme)
    near = float_optimum(programme)
    assert isinstance(outcome, Optimum | Conflict)
    text = certificate_text([Proof(programme, outcome)], Origin("sha256:0"))
    ((kind, result),) = check_certificate(text)
    if isinstance(outcome, Optimum):
        assert near is not None
        assert abs(Fraction(near) - outcome.value) <= outcome.value / 10**7
        assert result == outcome.value
    else:
        assert near is None
    return kind


@pytest.mark.parametrize("block", range(BLOCKS))
def test_small_networks(block: int) -> None:
    kinds = [
        agree(seed, SIZES[seed % len(SIZES)], tight=seed % 2 == 1)
        for seed in range(block * 24, block * 24 + 24)
    ]
    assert "optimal" in kinds


@pytest.mark.parametrize("seed", range(20))
def test_large_networks(seed: int) -> None:
    agree(1000 + seed, (100, 150, 200, 300)[seed % 4], tight=seed % 2 == 1)


@pytest.mark.parametrize("seed", range(3))
def test_exact_pivots_and_the_float_solver_lead_to_the_same_optimum(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    project = as_project(network(seed, 60))
    programme = formulate(project, collect_balance(project)).programme
    values = set()
    for few in (0, 10**6):
        monkeypatch.setattr("loopwright.plan.optimum.FEW_ROWS", few)
        outcome = solve_programme(programme)
        assert isinstance(outcome, Optimum)
        values.add(outcome.value)
    assert len(values) == 1
