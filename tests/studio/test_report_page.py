"""Papers are made, shown in a room of their own, and marked when the text goes on."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.studio.browser import LiveStudio, axe_faults, wait_for

LONG = 120.0


def _make(page: Any, paper: str) -> None:
    page.get_by_role("row", name=re.compile(f"^{paper}")).get_by_role("button").first.click()


@pytest.mark.slow
def test_a_report_is_shown_and_reaches_nothing(page: Any, studio: LiveStudio) -> None:
    page.goto(studio.address("report"))
    _make(page, "Report")
    frame = page.locator("iframe.framed")
    wait_for(frame.count, LONG)
    assert frame.get_attribute("sandbox") == "allow-scripts"
    frame.scroll_into_view_if_needed()
    inside = frame.element_handle().content_frame()
    wait_for(lambda: "starter" in inside.locator("h1").first.inner_text())
    wait_for(lambda: inside.locator("svg").count())
    reached = inside.evaluate("fetch('/api/files').then(() => 'reached', () => 'refused')")
    assert reached == "refused"
    assert inside.evaluate("window.origin") == "null"
    assert axe_faults(page) == []


@pytest.mark.slow
def test_a_film_moves_in_the_page_and_an_older_paper_is_marked(
    page: Any, studio: LiveStudio
) -> None:
    page.goto(studio.address("report"))
    film = page.get_by_role("region", name="Animation")
    film.get_by_label("for", exact=True).fill("4 s")
    film.get_by_label("caption").fill("Eight stations")
    film.get_by_role("button", name=re.compile("^Make")).click()
    picture = film.get_by_role("img", name="Eight stations")
    wait_for(picture.count, LONG)
    wait_for(lambda: picture.evaluate("one => one.complete && one.naturalWidth") == 960)
    film.get_by_text("of this text").wait_for()
    path = studio.folder / "starter.yaml"
    path.write_text("# another line\n" + path.read_text("utf-8"), "utf-8", newline="")
    film.get_by_text("of an older text").wait_for()


def test_a_film_of_no_length_is_refused_in_words(page: Any, studio: LiveStudio) -> None:
    page.goto(studio.address("report"))
    film = page.get_by_role("region", name="Animation")
    film.get_by_label("for", exact=True).fill("soon")
    film.get_by_role("button", name=re.compile("^Make")).click()
    alert = page.locator("#page").get_by_role("alert")
    wait_for(alert.count)
    assert "soon" in alert.inner_text()
