"""How long an exact plan takes, by processes: float solver, exact step, check of the proof."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from statistics import median
from typing import TypeVar

from loopwright.plan import collect_balance
from loopwright.plan.basis import float_optimum
from loopwright.plan.certificate import certificate_text
from loopwright.plan.checker import check_certificate
from loopwright.plan.formulation import formulate
from loopwright.plan.optimum import solve_programme
from loopwright.plan.programme import Conflict, Optimum, Programme
from loopwright.plan.study import Proof
from loopwright.record import Origin
from tests.plan.networks import as_project, network

SIZES = (30, 100, 300, 1000, 3000)
SEEDS = range(5)

Result = TypeVar("Result")


def _timed(call: Callable[[], Result]) -> tuple[float, Result]:
    start = time.perf_counter()
    result = call()
    return time.perf_counter() - start, result


def _programme(seed: int, processes: int) -> Programme:
    project = as_project(network(seed, processes))
    return formulate(project, collect_balance(project)).programme


def _row(processes: int) -> str:
    floats, wholes, checks, sizes = [], [], [], []
    for seed in SEEDS:
        programme = _programme(seed, processes)
        sizes.append(len(programme.columns))
        floats.append(_timed(lambda p=programme: float_optimum(p))[0])  # type: ignore[misc]
        whole, outcome = _timed(lambda p=programme: solve_programme(p))  # type: ignore[misc]
        assert isinstance(outcome, Optimum | Conflict)
        wholes.append(whole)
        text = certificate_text([Proof(programme, outcome)], Origin("sha256:0"))
        checks.append(_timed(lambda t=text: check_certificate(t))[0])  # type: ignore[misc]
    # the exact step is what the whole takes beyond one float solve
    steps = [max(0.0, whole - near) for whole, near in zip(wholes, floats, strict=True)]
    return (
        f"{processes:5d} processes, {int(median(sizes)):5d} columns: "
        f"float {_span(floats)}, exact step {_span(steps)}, check {_span(checks)}"
    )


def _span(times: list[float]) -> str:
    """Median and worst, in milliseconds."""
    return f"{median(times) * 1000:.1f} (worst {max(times) * 1000:.1f}) ms"


def run() -> Iterator[str]:
    """Median and worst of five random networks each, warm."""
    solve_programme(_programme(0, 100))
    for processes in SIZES:
        yield _row(processes)
