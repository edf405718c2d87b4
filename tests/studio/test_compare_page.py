"""The page of designs side by side: a table, points, and one against the first."""

from __future__ import annotations

from typing import Any

import pytest

from tests.studio.browser import LiveStudio, axe_faults, wait_for

PRICE = {
    "stations": 36, "pickers": 72, "gates": 1, "rows": 1, "cells": 300, "bridges": 0, "docks": 4,
    "floor": 900, "effort": "300", "power": "80", "rate": "1", "waste": "0",
}  # fmt: skip
FIGURES = {
    "price": PRICE, "target": "2", "made": "2", "late": "199/100", "after": "2", "worst": "tap",
    "jams": [], "safe": "proved", "returns": "undecided",
}  # fmt: skip


def _design(letter: str, told: str, figures: dict[str, Any] | None, **more: Any) -> dict[str, Any]:
    sound = bool(figures and not figures["jams"])
    text = f"# {told}\n"
    told_of = {"letter": letter, "told": told, "refusal": "", "sound": sound, "text": text}
    return told_of | {"figures": figures} | more


COMPARISON = {
    "variants": [{"letter": one, "told": one} for one in "ABCD"],
    "designs": [
        _design("A", "gate: windowed", FIGURES),
        _design("B", "gate: open", FIGURES | {"after": "0", "jams": ["tap"]}),
        _design("C", "architecture: plain", FIGURES | {
            "price": PRICE | {"effort": "450", "floor": 800, "pickers": 144}, "safe": "",
            "returns": "",
        }),
        _design("D", "row: 24", None, refusal="there is no room", sound=False),
    ],
    "whole": True,
    "sentences": ["Make the rate to within 1 % and come back from every outage: A, C."],
}  # fmt: skip
JOB = {
    "id": "20260101T000000-abcdef", "kind": "compare", "file": "starter.yaml", "digest": "of old",
    "options": {}, "state": "done", "done": 1.0, "note": "", "made": "2025-12-31T20:00:00Z",
    "begun": "2026-01-01T00:00:00Z", "ended": "2026-01-01T00:01:10Z", "files": [], "error": None,
    "findings": [],
}  # fmt: skip


@pytest.fixture
def shown(page: Any, studio: LiveStudio) -> Any:
    """The page with a comparison of an older text."""
    page.route("**/api/jobs", lambda route: route.fulfill(json=[JOB]))
    page.route(
        "**/api/jobs/*", lambda route: route.fulfill(json={"job": JOB, "result": COMPARISON})
    )
    page.goto(studio.address("compare"))
    page.reload()
    page.locator(".designs").wait_for()
    return page


def test_the_table_tells_what_each_makes_and_stands(shown: Any) -> None:
    rows = shown.get_by_role("grid", name="Designs").get_by_role("row")
    told = [" ".join(one.split()) for one in rows.all_inner_texts()]
    assert told[1].startswith("A gate: windowed 100.0 % 99.5 % 100.0 % ✓ proved ? undecided 72")
    assert "✕ jams" in told[2]
    assert "no loops no loops 144" in told[3]
    assert "cannot be built: there is no room" in told[4]
    wait_for(lambda: shown.get_by_text("of an older text").count() == 1)  # once the text is checked
    assert axe_faults(shown) == []


def test_points_are_letters_filled_where_the_design_is_sound(shown: Any) -> None:
    points = shown.locator(".designs .point")
    assert sorted(points.locator("text").all_text_contents()) == ["A", "B", "C"]
    assert shown.locator(".designs .point.sound text").all_text_contents() == ["A", "C"]
    assert shown.locator(".designs .front").count() == 1
    shown.get_by_role("combobox", name="up").select_option("pickers")
    wait_for(lambda: shown.locator(".designs .front").count() == 0)  # A beats C in both


def test_one_design_stands_against_the_first(shown: Any) -> None:
    shown.get_by_role("button", name="C: architecture: plain").press("Enter")
    told = shown.locator(".told")
    wait_for(lambda: "+50.0 %" in told.inner_text())
    assert "\u221211.1 %" in told.inner_text()
    assert "An outage of tap does most harm" in told.inner_text()
    assert told.get_by_role("button", name="Write it into the file").is_disabled()  # an older text
