"""The table of a stress test: laid out, walked through by keys, told in words."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.studio.browser import LiveStudio, axe_faults, wait_for


def _case(kind: str, material: str = "", span: str = "0", share: str = "0") -> dict[str, str]:
    return {"kind": kind, "material": material, "span": span, "share": share}


CASES = [
    _case("undisturbed"),
    _case("missed picks", span="600", share="3/10"),
    _case("outage", "tap", "30"),
    _case("outage", "tap", "120"),
    _case("shortage", "tap", "600", "4/5"),
    _case("outage", "seal", "30"),
    _case("outage", "seal", "120"),
    _case("shortage", "seal", "600", "4/5"),
]
AFTER = ["1", "1", "1", "61/100", "1", "1", "0"]
"""Of all cases but the last, which is not finished."""


def _row(number: int) -> dict[str, Any]:
    jams = ["row 1 lane", "row 2 lane", "row 3 lane"] if AFTER[number] == "0" else []
    time = "95" if AFTER[number] == "1" else None
    return {
        "case": CASES[number], "during": "2/5", "after": AFTER[number], "time": time, "jams": jams,
    }  # fmt: skip


BATTERY = {
    "cases": CASES,
    "rows": [_row(number) for number in range(len(AFTER))],
    "whole": False,
    "standard": "1",
    "sentences": ["1 of 7 cases end in a jam."],
}
JOB = {
    "id": "20260101T000000-abcdef", "kind": "stress", "file": "starter.yaml", "digest": "of old",
    "options": {}, "state": "cancelled", "done": 0.9, "note": "", "made": "2025-12-31T20:00:00Z",
    "begun": "2026-01-01T00:00:00Z", "ended": "2026-01-01T00:01:10Z", "files": [], "error": None,
    "findings": [],
}  # fmt: skip


@pytest.fixture
def table(page: Any, studio: LiveStudio) -> Any:
    """The page with a test that was stopped, of an older text."""
    page.route("**/api/jobs", lambda route: route.fulfill(json=[JOB]))
    page.route("**/api/jobs/*", lambda route: route.fulfill(json={"job": JOB, "result": BATTERY}))
    page.goto(studio.address("stress"))
    page.reload()
    page.locator(".heat").first.wait_for()
    return page


def test_cells_tell_rate_and_fate_by_figure_sign_and_shade(table: Any) -> None:
    heads = table.locator(".heat").first.locator("thead tr").nth(1).inner_text().split()
    assert heads == ["30", "s", "2", "min", "80", "%"]
    cells = table.locator(".heat .cell")
    told = [one.split(",")[0].split() for one in cells.all_inner_texts()]
    assert told[1] == ["▼", "61.0", "%"]
    assert told[4] == ["✕", "0.0", "%"]
    assert told[5] == ["\u2013"]
    assert "shade3" in cells.nth(1).get_attribute("class")
    assert "shade5" in cells.nth(4).get_attribute("class")
    wait_for(lambda: table.get_by_text("of an older text").count() == 1)  # once the text is checked
    assert axe_faults(table) == []


def test_the_time_to_come_leaves_out_how_long_the_last_job_waited(table: Any) -> None:
    told = table.locator(".bar.asked .soft").last
    found = wait_for(lambda: re.search(r"(\d+) runs, about (\d+) (s|min)", told.inner_text()))
    seconds = int(found[2]) * (60 if found[3] == "min" else 1)
    assert seconds == pytest.approx(10 * int(found[1]), abs=30)  # 70 s of work, 7 rows


def test_what_goes_on_to_the_end_on_the_floor_is_told(table: Any) -> None:
    told, said = table.locator(".told"), "On the floor it goes on to the end."
    table.get_by_role("row", name=re.compile("^Undisturbed")).get_by_role("button").click()
    wait_for(lambda: "the stations make" in told.inner_text())
    assert said not in told.inner_text()
    table.get_by_role("row", name=re.compile("all picks missed")).get_by_role("button").click()
    wait_for(lambda: said in told.inner_text())


def test_arrow_keys_go_from_cell_to_cell_and_words_follow(table: Any) -> None:
    cells = table.locator(".heat .cell")
    cells.nth(1).focus()
    table.keyboard.press("ArrowDown")
    table.keyboard.press("Enter")
    told = table.locator(".told")
    wait_for(lambda: "Without seal for 2 min" in told.inner_text())
    assert "row 1 lane, row 2 lane and 1 more stand for good" in told.inner_text()
    assert "Full rate was not seen again" in told.inner_text()
    link = told.get_by_role("link", name="See it on the floor")
    assert link.get_attribute("href").endswith("?play=20260101T000000-abcdef%3A6")
    table.keyboard.press("ArrowUp")
    table.keyboard.press("ArrowLeft")
    table.keyboard.press("Enter")
    wait_for(lambda: "Full rate is back 95 s after its end" in told.inner_text())
