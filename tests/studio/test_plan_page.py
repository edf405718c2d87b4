"""The Plan page in a browser: it follows what is drawn along, and writes it when it is told to."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from loopwright.model.example import example_path
from tests.studio.browser import LiveStudio, wait_for

FILE = "kits.yaml"
AT_ONCE = 200
"""How soon a plan has to follow [ms]."""


@pytest.fixture
def kits(studio: LiveStudio) -> Path:
    """The demonstration project in the folder of the studio, as it comes."""
    path = studio.folder / FILE
    path.write_text(example_path("filter-kits.yaml").read_text("utf-8"), "utf-8", newline="")
    return path


@pytest.fixture
def plan(page: Any, studio: LiveStudio, kits: Path) -> Any:
    """The page with the plan of the file."""
    page.goto(studio.address("plan", FILE))
    wait_for(lambda: stations(page) == "216")
    return page


def stations(page: Any) -> str:
    """Whole packing stations as the page has them; during a trial "216 → 243"."""
    row = (
        page.get_by_role("table", name="Processes").get_by_role("row").filter(has_text="Pack a kit")
    )
    found = row.locator("td").nth(4)
    return str(found.inner_text()) if found.count() else ""


def test_the_plan_follows_a_number_and_says_what_differs(plan: Any, kits: Path) -> None:
    before = kits.read_text("utf-8")
    plan.get_by_label("Rate of Household filter kit as a number").fill("729/min")
    wait_for(lambda: stations(plan) == "216 → 243")
    assert plan.get_by_text("113 %").count() == 1
    sums = plan.get_by_label("In sum").inner_text()
    assert "317 → 357" in sums
    plan.get_by_role("button", name="Back to the file").click()
    wait_for(lambda: stations(plan) == "216")
    assert kits.read_text("utf-8") == before


def test_the_plan_follows_the_slider_at_once(plan: Any) -> None:
    slider = plan.get_by_label("Rate of Household filter kit", exact=True)
    slider.focus()
    slower: list[int] = []
    for _ in range(5):
        was = stations(plan)
        plan.keyboard.press("ArrowRight")
        wait_for(lambda was=was: stations(plan) != was)
        said = plan.locator(".levers").get_by_text("Planned in").inner_text()
        slower.append(int(said.split()[2]))
    assert min(slower) < AT_ONCE
    assert slider.get_attribute("aria-valuetext") == "107 %, 693.36/min"
    plan.keyboard.press("Home")
    wait_for(lambda: stations(plan) == "216 → 54")
    plan.keyboard.press("End")
    wait_for(lambda: stations(plan) == "216 → 864")


def test_a_trial_is_written_into_the_file_with_its_unit(plan: Any, kits: Path) -> None:
    before = kits.read_text("utf-8")
    plan.get_by_label("Rate of Household filter kit", exact=True).focus()
    plan.keyboard.press("Home")
    plan.get_by_label("Weight of imports as a number").fill("1/2")
    wait_for(lambda: stations(plan) == "216 → 54")
    plan.get_by_role("button", name="Write this into the file").click()
    wait_for(lambda: "162/min" in kits.read_text("utf-8"))
    wait_for(lambda: stations(plan) == "54")
    after = kits.read_text("utf-8")
    assert "kit: 162/min" in after
    assert "imports: 1/2" in after
    assert before.count("#") == after.count("#")
    assert plan.get_by_role("button", name="Back to the file").is_disabled()


def test_a_rate_that_is_none_is_told_at_its_field_and_the_plan_stays(plan: Any) -> None:
    field = plan.get_by_label("Rate of Household filter kit as a number")
    field.fill("5 apples")
    wait_for(lambda: field.get_attribute("aria-invalid") == "true")
    assert "'5 apples' has the unit 'apples'" in plan.get_by_role("alert").inner_text()
    assert stations(plan) == "216"


def test_what_stands_against_a_demand_leads_to_its_line(
    page: Any, studio: LiveStudio, kits: Path
) -> None:
    text = kits.read_text("utf-8").replace("    packer: {", "    packer: {limit: 220, ")
    kits.write_text(text, "utf-8", newline="")
    page.goto(studio.address("plan", FILE))
    wait_for(lambda: stations(page) == "216")
    assert page.get_by_role("row").filter(has_text="stations of kind packer").count() == 1
    page.get_by_label("Rate of Household filter kit", exact=True).focus()
    page.keyboard.press("End")
    part = page.get_by_label("No plan meets this demand")
    part.wait_for()
    line = next(at for at, one in enumerate(text.splitlines(), 1) if "limit: 220" in one)
    part.get_by_role("button", name=f"line {line}").first.click()
    active = page.locator(".cm-activeLine")
    wait_for(lambda: "limit: 220" in active.inner_text())


def test_a_file_with_errors_keeps_the_plan_before_and_leads_to_them(plan: Any, kits: Path) -> None:
    kits.write_text(kits.read_text("utf-8").replace("20 s", "20 sec"), "utf-8", newline="")
    note = plan.get_by_text("The file has an error")
    note.wait_for()
    assert stations(plan) == "216"
    plan.get_by_role("link", name="Go to the Project page").click()
    plan.locator(".findings li.error").wait_for()
