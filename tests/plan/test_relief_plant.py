"""The relief plant, the large example, tells the story that its head promises."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.model import Project, check_project
from loopwright.plan import Plan, solve_plan

FILE = Path(__file__).parents[2] / "examples" / "relief-plant.yaml"


@pytest.fixture(scope="module")
def site() -> tuple[Project, Plan]:
    project, findings = check_project(FILE)
    assert findings == ()
    assert project is not None
    return project, solve_plan(project)


def test_its_size_is_that_of_a_real_site(site: tuple[Project, Plan]) -> None:
    project, plan = site
    assert len(project.processes) == 47
    assert all(entry.cycles > 0 for entry in plan.processes)
    assert 1000 < sum(entry.whole for entry in plan.processes) < 2000
    assert 10_000 < plan.power < 20_000  # [kW]


def test_every_material_balances(site: tuple[Project, Plan]) -> None:
    for entry in site[1].materials:
        assert entry.made + entry.imported + entry.drawn == (
            entry.used + entry.demanded + entry.surplus
        )


def test_what_is_scarce_is_used_up_and_the_rest_bought(site: tuple[Project, Plan]) -> None:
    plan = site[1]
    binding = {limit.path for limit in plan.limits if limit.binds}
    assert {"site.deposits[1].rate", "site.docks[3].rate"} <= binding
    assert plan.material("raw-clay").drawn == 36
    assert plan.material("fine-clay").imported > 0
    assert (plan.material("tap").made, plan.material("tap").imported) == (8, 2)


def test_loops_come_round_and_the_treatment_pays(site: tuple[Project, Plan]) -> None:
    plan = site[1]
    for material in ("cracked", "reject", "sprue", "board-scrap", "offcut", "trim", "grog"):
        assert plan.material(material).used == plan.material(material).made > 0
    washed = {flow.material: flow.rate for flow in plan.process("clean-water").uses}
    assert washed["water"] == plan.material("water").made / 20
    assert plan.process("press-tablets").treatment == "wax-powder"
    assert plan.material("press-wax").made == Fraction(96, 5) / 20
