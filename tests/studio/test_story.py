"""The whole story in a browser: from the demonstration project to a design that cannot jam."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.studio.browser import LiveStudio, axe_faults, wait_for

FILE = "filter-kits.yaml"
LONG = 120.0
"""The slowest work of the story, on a machine that is busy [s]."""


@pytest.mark.slow
def test_a_design_is_made_jammed_mended_and_sent(page: Any, studio: LiveStudio) -> None:
    text = _begin(page, studio)
    _break_and_mend(page, text)
    _plan_and_choose(page, studio)
    _jam(page, studio)
    _mend_by_a_remedy(page, studio)
    _stress(page, studio)
    _send(page, studio)


def _stage(page: Any, studio: LiveStudio, stage: str) -> None:
    page.goto(studio.address(stage, FILE))
    page.locator(f'.stages a[aria-current="page"][href^="#/{stage}/"]').wait_for()


def _foot(page: Any, name: str) -> str:
    """What the title block says of `name`."""
    field = page.locator(".title-block dl").filter(has_text=re.compile(f"^{name}"))
    return str(field.locator("dd").inner_text())


def _on_disk(studio: LiveStudio) -> str:
    return (studio.folder / FILE).read_text("utf-8")


def _begin(page: Any, studio: LiveStudio) -> str:
    """Open the demonstration project."""
    page.get_by_role("button", name=re.compile("^Household water-filter kits")).click()
    page.get_by_role("button", name="Begin", exact=True).click()
    page.locator(".cm-content").wait_for()
    wait_for(lambda: _foot(page, "findings") == "none")
    return _on_disk(studio)


def _break_and_mend(page: Any, text: str) -> None:
    """A misspelt key is found where it stands; taken back, nothing is wrong."""
    page.locator(".cm-content").click()
    page.keyboard.press("Control+End")
    page.keyboard.type("\nshelvs: 3")
    wait_for(lambda: _foot(page, "findings") == "1 error")
    found = page.locator(".findings li.error").first.inner_text()
    assert "shelvs" in found
    assert f"line {text.count(chr(10)) + 2}" in found or "line" in found
    page.locator('.stages a[href^="#/proof/"]').click()
    page.get_by_text("The file has an error.").wait_for()
    assert page.get_by_role("button", name="Prove", exact=True).is_disabled()
    page.get_by_role("link", name="Go to the Project page").click()
    page.locator(".cm-content").click()
    for _ in range(3):
        if _foot(page, "findings") == "none":
            break
        page.keyboard.press("Control+z")
        page.wait_for_timeout(400)
    wait_for(lambda: _foot(page, "findings") == "none" and _foot(page, "file") == "saved")


def _plan_and_choose(page: Any, studio: LiveStudio) -> None:
    """216 stations are planned; twelve rows of 18 are chosen and written down."""
    _stage(page, studio, "plan")
    wait_for(lambda: "216" in page.locator("#page").inner_text())
    _stage(page, studio, "block")
    designs = page.get_by_label("Designs of the block", exact=True)
    row = designs.locator("tr").filter(has_text=re.compile(r"loop\s*double\s*12\s*18\D"))
    row.first.click()
    page.get_by_role("button", name="Choose").first.click()
    wait_for(lambda: re.search(r"row: 18\b", _on_disk(studio)))
    assert "# as long as the hall allows" in _on_disk(studio)


def _jam(page: Any, studio: LiveStudio) -> None:
    """With an open gate, a supply that stopped comes back in vain: the floor names what stands."""
    _stage(page, studio, "project")
    page.get_by_role("combobox", name="gate", exact=True).select_option("open")
    wait_for(lambda: "gate: open" in _on_disk(studio))
    _stage(page, studio, "floor")
    page.get_by_role("button", name=re.compile("Stop supply of")).first.click()
    page.get_by_role("combobox", name="Speed").select_option("max")
    page.get_by_role("button", name="Play").click()
    wait_for(lambda: not page.locator("output.time").inner_text().startswith("0:0"), LONG)
    page.get_by_role("button", name=re.compile("Resume supply of")).click()
    banner = page.locator(".jam-banner")
    wait_for(banner.count, LONG)
    assert re.search(r"row \d+", banner.inner_text())
    page.get_by_role("button", name="Go to Proof").click()


def _mend_by_a_remedy(page: Any, studio: LiveStudio) -> None:
    """Refuted, with a run; a remedy is tried, priced, written down, and proved."""
    page.get_by_role("button", name="Prove", exact=True).click()
    wait_for(page.locator(".question.refuted").count, LONG)
    assert "can ever start again" in page.locator(".question.refuted").first.inner_text()
    assert "?play=" in page.get_by_role("link", name="Play the jam").first.get_attribute("href")
    assert axe_faults(page) == []
    page.get_by_role("button", name="Find remedies").click()
    best = page.locator("tr.best", has_text="the first that helps")
    wait_for(best.count, LONG)
    assert "choices.gate: windowed" in best.inner_text()
    wait_for(lambda: page.locator("#page progress").count() == 0, LONG)
    best.get_by_role("button", name="Apply").click()
    wait_for(lambda: "gate: windowed" in _on_disk(studio))
    assert page.get_by_text("of an older text").count() > 0
    page.get_by_role("button", name="Prove the changed file").click()
    wait_for(lambda: page.locator(".question.proved").count() == 2, LONG)
    page.emulate_media(color_scheme="dark")
    assert axe_faults(page) == []
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save the certificate").click()
    assert saved.value.path().read_text("utf-8").startswith("kind: certificate\n")


def _stress(page: Any, studio: LiveStudio) -> None:
    """The table fills; stopped, it keeps its rows, and tells one in words."""
    _stage(page, studio, "stress")
    page.get_by_label("supplies away for").fill("30 s")
    page.get_by_label("cut to").fill("80 %")
    page.get_by_role("button", name="Test", exact=True).click()
    cells = page.locator(".heat button.cell")
    wait_for(lambda: cells.count() >= 2, LONG)
    page.locator("#page").get_by_role("button", name="Stop").click()
    wait_for(lambda: page.get_by_text("Stopped; what was done is kept.").count(), LONG)
    assert cells.count() >= 2
    cells.first.click()
    assert "of what they can" in page.locator(".told").inner_text()
    assert axe_faults(page) == []


def _send(page: Any, studio: LiveStudio) -> None:
    """The sheets are made and come down as a PDF."""
    _stage(page, studio, "report")
    page.get_by_role("button", name=re.compile(r"Make.*Sheets")).click()
    link = page.get_by_role("link", name=re.compile(r"\.pdf"))
    wait_for(link.count, LONG)
    with page.expect_download() as saved:
        link.click()
    assert saved.value.path().read_bytes().startswith(b"%PDF-")
    assert axe_faults(page) == []
