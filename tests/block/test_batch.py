"""What a treatment makes of a process: cycle, yield, rows; a process treated in part."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from loopwright.block import check_block, size_block
from loopwright.block.batch import Batch, batch_of
from loopwright.block.site import block_site, size_sections
from loopwright.finding import DesignError
from loopwright.model import Project
from loopwright.plan import solve_plan
from tests.layout.design import example


def rinsed(treatment: dict[str, Any] | None = None, **choices: Any) -> Project:
    """The rinse works with a changed treatment and other choices."""
    tree = example("rinse-works.yaml").document()
    tree["equipment"]["treatments"]["rinsing"] |= treatment or {}
    tree["choices"] |= choices
    return Project.model_validate(tree)


def test_a_batch_has_the_figures_of_its_treatment() -> None:
    project = rinsed({"speed": "3/2"})
    assert batch_of(project, "cap-candle") == Batch(Fraction(6), Fraction(9, 10))
    assert batch_of(project, "cap-candle", "rinsing") == Batch(Fraction(4), Fraction(1))


def test_rows_are_sized_for_marked_batches() -> None:
    """Half as long a cycle takes half the stations, and twice the lane for each."""
    plain, quick = (
        size_block(solve_plan(project), project)
        for project in (rinsed(scope="block"), rinsed({"speed": "2"}, scope="block"))
    )
    assert (plain.treatment, plain.stations, quick.stations) == ("rinsing", 18, 9)
    assert "All figures are those of batches marked by rinsing." in plain.reason
    assert quick.capacity == plain.capacity / 2
    assert quick.output_capacity == plain.output_capacity / 2
    assert check_block(plain, rinsed(scope="block")) == ()


def test_a_section_spends_agent_beside_what_it_takes() -> None:
    project = rinsed()
    site = size_sections(solve_plan(project), project)
    section = next(one for one in site.sections if one.block.process == "cap-candle")
    assert section.takes == {"candle": 6, "cap": 12}
    assert section.spends == {"rinse": Fraction(9, 10)}
    assert section.gives == {"cartridge": 6}
    names = [one.block.process for one in site.sections]
    assert names.index("stir-rinse") < names.index("cap-candle")


def test_an_agent_that_is_an_input_too_is_counted_twice() -> None:
    tree = rinsed(scope="block").document()
    tree["equipment"]["treatments"]["rinsing"]["agent"] = "cap"
    tree["site"]["docks"] = []
    project = Project.model_validate(tree)
    plan = solve_plan(project)
    site = block_site(size_block(plan, project), project)
    flow = next(flow for flow in site.flows if flow.material == "cap")
    assert flow.imported == plan.material("cap").imported == 12 + Fraction(9, 10)


@pytest.mark.parametrize("scope", ["block", "site"])
def test_a_process_that_is_treated_in_part_is_refused_with_a_remedy(scope: str) -> None:
    """So little acid comes that half of the benches go without."""
    tree = rinsed(scope=scope).document()
    tree["site"]["docks"].append({"material": "acid", "rate": "0.09/s"})
    project = Project.model_validate(tree)
    size = size_sections if scope == "site" else size_block
    plan = solve_plan(project)
    with pytest.raises(DesignError) as caught:
        size(plan, project)
    (finding,) = caught.value.findings
    assert finding.code == "LW311"
    assert "rinsing" in finding.message
    assert "untreated" in finding.message
    assert "list cap-candle twice" in (finding.remedy or "")


def test_the_remedy_for_a_process_treated_in_part_works() -> None:
    tree = rinsed().document()
    tree["site"]["docks"].append({"material": "acid", "rate": "0.09/s"})
    tree["processes"]["cap-dry"] = dict(tree["processes"]["cap-candle"])
    site = size_sections(solve_plan(project := Project.model_validate(tree)), project)
    treated = {one.block.process: one.block.treatment for one in site.sections}
    assert treated["cap-candle"] == "rinsing"
    assert treated["cap-dry"] == ""
