"""The Block page in a browser: designs compared, sorted, looked at by keys and chosen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from loopwright.model.example import example_path
from tests.studio.browser import LiveStudio, axe_faults, wait_for

FILE = "kits.yaml"


@pytest.fixture
def kits(studio: LiveStudio) -> Path:
    """The demonstration project in the folder of the studio, as it comes."""
    path = studio.folder / FILE
    path.write_text(example_path("filter-kits.yaml").read_text("utf-8"), "utf-8", newline="")
    return path


@pytest.fixture
def block(page: Any, studio: LiveStudio, kits: Path) -> Any:
    """The page with all designs of the file's block."""
    page.goto(studio.address("block", FILE))
    page.get_by_role("grid").wait_for()
    return page


def looked_at(page: Any) -> list[str]:
    """Cells of the row that is looked at, from the architecture on."""
    row = page.locator("tr[aria-selected=true] td")
    return [text.replace("\n", " ") for text in row.all_inner_texts()[1:]]


def test_of_a_site_it_is_told_that_the_floor_is_another(page: Any, studio: LiveStudio) -> None:
    text = example_path("filter-works.yaml").read_text("utf-8")
    (studio.folder / "works.yaml").write_text(text, "utf-8", newline="")
    page.goto(studio.address("block", "works.yaml"))
    page.get_by_role("grid").wait_for()
    assert page.get_by_text("a section for every process of the plan").count() == 1
    assert axe_faults(page) == []


def test_the_chosen_design_is_marked_and_has_its_reason(block: Any) -> None:
    assert looked_at(block)[:4] == ["loop chosen", "double", "6", "36"]
    assert block.get_by_text("a section for every process of the plan").count() == 0
    assert block.get_by_text("what passes a row comes back to its head").count() == 1
    assert block.get_by_role("button", name="Chosen").is_disabled()
    assert axe_faults(block) == []


def test_arrows_show_what_changes_and_enter_chooses(block: Any, kits: Path) -> None:
    before = kits.read_text("utf-8")
    block.locator("tr[aria-selected=true]").focus()
    block.keyboard.press("ArrowDown")
    wait_for(lambda: looked_at(block)[:4] == ["loop", "double", "7", "31"])
    changes = block.get_by_role("table", name="What changes")
    row = changes.get_by_role("row").filter(has_text="stations")
    assert row.locator("td").all_inner_texts() == ["stations", "216", "217", "+1"]
    assert "row: 31" in block.locator(".choices").inner_text()
    assert kits.read_text("utf-8") == before

    block.keyboard.press("Enter")
    wait_for(lambda: looked_at(block)[0] == "loop chosen")
    wait_for(lambda: "row: 31" in kits.read_text("utf-8"))
    after = kits.read_text("utf-8")
    assert "architecture: loop" in after
    assert "# as long as the hall allows" in after
    assert looked_at(block)[1:4] == ["double", "7", "31"]


def test_designs_sort_by_a_column(block: Any) -> None:
    block.get_by_role("button", name="pickers").click()
    pickers = block.locator("tbody tr td:nth-child(9)")

    def figures() -> list[int]:
        return [int(text) for text in pickers.all_inner_texts()]

    assert figures() == sorted(figures())
    block.get_by_role("button", name="pickers").click()
    wait_for(lambda: figures() == sorted(figures(), reverse=True))
    assert block.get_by_role("columnheader", name="pickers").get_attribute("aria-sort") == (
        "descending"
    )


def test_choices_that_cannot_be_built_say_why_and_leave_the_others(
    page: Any, studio: LiveStudio, kits: Path
) -> None:
    kits.write_text(kits.read_text("utf-8").replace("row: 36 ", "row: 999 "), "utf-8", newline="")
    page.goto(studio.address("block", FILE))
    page.get_by_text("What the file chooses cannot be built").wait_for()
    page.get_by_role("button", name="line 64").first.wait_for()
    page.locator("tr[aria-selected=true]").focus()
    page.keyboard.press("Enter")
    wait_for(lambda: "row: 999" not in kits.read_text("utf-8"))
    wait_for(lambda: looked_at(page)[0].endswith("chosen"))
