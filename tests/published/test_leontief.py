"""Lay, Linear Algebra and Its Applications, section 2.6 (open input-output model), from memory.

Second table: Leontief's example of agriculture and manufacture, 25 of 100 bushels, from memory.
Third: parts explosion after Vazsonyi, Management Science 1(1), 1954, 70-85; the numbers are our own
(independent recomputation).
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

import pytest

from loopwright.finding import DesignError
from loopwright.model import Project
from loopwright.plan import settle, solve_plan
from loopwright.plan.certificate import certificate_text
from loopwright.plan.checker import check_certificate
from loopwright.record import Origin
from tests.plan.sample import project


def sectors(uses: Sequence[Sequence[int]], scale: int) -> Mapping[str, Mapping[str, Any]]:
    """Processes s0, s1, ...: to make one unit, s_j uses uses[i][j] / scale of each good i."""
    size = len(uses)
    return {
        f"s{j}": {
            "inputs": {f"g{i}": uses[i][j] for i in range(size)},
            "outputs": {f"g{j}": scale},
        }
        for j in range(size)
    }


def outputs(uses: Sequence[Sequence[int]], scale: int, demand: Sequence[int]) -> list[Fraction]:
    """Units of each good that are made."""
    wanted = {f"g{i}": rate for i, rate in enumerate(demand)}
    economy = project(sectors(uses, scale), wanted)
    plan = solve_plan(economy)
    proved(economy)
    return [plan.material(f"g{i}").made for i in range(len(demand))]


def proved(economy: Project) -> None:
    """The plan has a certificate, and it holds."""
    text = certificate_text(settle(economy).proofs, Origin("sha256:0"))
    assert check_certificate(text) == (("optimal", solve_plan(economy).cost),)


def test_three_sectors() -> None:
    uses = [[5, 4, 2], [2, 3, 1], [1, 1, 3]]
    assert outputs(uses, 10, [50, 30, 20]) == [
        Fraction(6100, 27),
        Fraction(3200, 27),
        Fraction(700, 9),
    ]


def test_two_sectors() -> None:
    assert outputs([[25, 40], [14, 12]], 100, [55, 30]) == [100, 50]


def test_an_economy_that_uses_all_it_makes_meets_no_demand() -> None:
    # spectral radius exactly 1, and above
    for uses in ([[5, 5], [5, 5]], [[5, 6], [5, 5]]):
        with pytest.raises(DesignError) as caught:
            outputs(uses, 10, [1, 1])
        assert [finding.code for finding in caught.value.findings] == ["LW204"]


def test_parts_explosion() -> None:
    made = {
        "make-A": {"inputs": {"B": 2, "C": 1}, "outputs": {"A": 1}},
        "make-B": {"inputs": {"C": 3}, "outputs": {"B": 1}},
        "make-C": {"outputs": {"C": 1}},
    }
    proved(project(made, {"A": 1}))
    plan = solve_plan(project(made, {"A": 1}))
    assert [plan.material(name).made for name in "ABC"] == [1, 2, 7]
