"""The start page in a browser: projects begun, copied and renamed."""

from __future__ import annotations

from typing import Any

from loopwright.model.example import example_path
from tests.studio.browser import LiveStudio, wait_for


def test_a_project_is_begun_from_an_example_and_opened(page: Any, studio: LiveStudio) -> None:
    page.locator(".tile").filter(has_text="packs 648 kits a minute").click()
    asked = page.get_by_role("dialog")
    assert asked.get_by_label("Name of the file").input_value() == "filter-kits.yaml"
    asked.get_by_label("Name of the file").fill("first plant")
    asked.get_by_role("button", name="Begin").click()
    page.get_by_label("Text of the project file").wait_for()
    made = (studio.folder / "first plant.yaml").read_text("utf-8")
    assert made == example_path("filter-kits.yaml").read_text("utf-8")


def test_a_project_is_copied_and_renamed(page: Any, studio: LiveStudio) -> None:
    text = (studio.folder / "starter.yaml").read_text("utf-8")
    page.get_by_role("button", name="Copy starter.yaml").click()
    page.get_by_label("Name of the file").press("Enter")  # once it is there
    page.get_by_role("button", name="Rename starter-2.yaml").click()
    field = page.get_by_label("Name of the file")
    field.fill("other.yaml")
    field.press("Enter")
    page.get_by_role("button", name="Copy other.yaml").wait_for()
    assert (studio.folder / "other.yaml").read_text("utf-8") == text
    assert not (studio.folder / "starter-2.yaml").exists()


def test_a_name_that_cannot_be_is_told_in_its_place(page: Any, studio: LiveStudio) -> None:
    page.get_by_role("button", name="A small one").click()
    field = page.get_by_label("Name of the file")
    field.fill("starter.yaml")
    page.keyboard.press("Enter")
    assert "there" in page.get_by_role("alert").inner_text()
    field.fill("../outside.yaml")
    page.keyboard.press("Enter")
    wait_for(lambda: "is no name" in page.get_by_role("alert").inner_text())
    assert not (studio.folder.parent / "outside.yaml").exists()
    page.keyboard.press("Escape")
    assert page.get_by_role("dialog").count() == 0


def test_a_file_that_comes_to_the_folder_is_listed(page: Any, studio: LiveStudio) -> None:
    page.get_by_role("link", name="starter", exact=False).first.wait_for()
    text = (studio.folder / "starter.yaml").read_text("utf-8")
    (studio.folder / "from-elsewhere.yaml").write_text(text, "utf-8", newline="")
    page.get_by_role("button", name="Copy from-elsewhere.yaml").wait_for()
