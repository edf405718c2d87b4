"""The pages in a browser: reachable for everybody, two at once, and after the server was away."""

from __future__ import annotations

from typing import Any

import pytest

from tests.studio.browser import LiveStudio, axe_faults, wait_for

STAGES = ("project", "plan", "block", "floor", "proof", "stress", "compare", "report")


@pytest.mark.slow
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_page_shuts_anybody_out(page: Any, studio: LiveStudio, theme: str) -> None:
    page.emulate_media(color_scheme=theme)
    page.get_by_role("heading", name="Projects").wait_for()
    faults = {"start": axe_faults(page)}
    for stage in STAGES:
        page.goto(studio.address(stage))
        page.locator(f'.stages a[aria-current="page"][href^="#/{stage}/"]').wait_for()
        wait_for(lambda: page.locator("#page > *").count())
        page.wait_for_timeout(400)
        faults[stage] = axe_faults(page)
    assert {stage: found for stage, found in faults.items() if found} == {}


def test_a_stranger_in_a_browser_is_told_which_link_to_open(
    chromium: Any, studio: LiveStudio
) -> None:
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"http://127.0.0.1:{studio.port}/?token=guessed")
    assert "closed to you" in page.get_by_role("heading").inner_text()
    assert page.locator("#studio").count() == 0
    context.close()


def test_what_is_written_in_one_tab_comes_to_the_other(page: Any, studio: LiveStudio) -> None:
    page.goto(studio.address("proof"))
    other = page.context.new_page()
    other.goto(studio.address("project"))
    other.locator(".cm-content").wait_for()
    revision = page.locator(".title-block code")
    wait_for(lambda: len(revision.inner_text()) == 8)
    before = revision.inner_text()
    other.locator(".cm-content").click()
    other.keyboard.press("Control+Home")
    other.keyboard.type("# in two tabs\n")
    wait_for(lambda: len(revision.inner_text()) == 8 and revision.inner_text() != before)
    assert (studio.folder / "starter.yaml").read_text("utf-8").startswith("# in two tabs\n")


def test_a_page_and_its_results_outlive_the_server(page: Any, studio: LiveStudio) -> None:
    page.goto(studio.address("proof"))
    page.get_by_role("button", name="Prove", exact=True).click()
    page.locator(".question").first.wait_for()
    told = page.locator(".questions").inner_text()
    studio.stop()
    page.get_by_text("The studio does not answer").wait_for()
    assert page.locator(".questions").inner_text() == told
    studio.start()
    other = page.context.new_page()
    other.goto(studio.link)
    other.goto(studio.address("proof"))
    other.locator(".question").first.wait_for()
    assert other.locator(".questions").inner_text() == told
    wait_for(lambda: page.get_by_text("The studio does not answer").count() == 0)
