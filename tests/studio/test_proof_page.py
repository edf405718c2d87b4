"""Verdicts, remedies and recovery cards as the Proof page shows them."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from loopwright.model import Project
from loopwright.model.read import check_text
from loopwright.model.starter import starter_text
from loopwright.prove.claim import ASSUMPTIONS
from loopwright.prove.document import verdicts_document
from loopwright.prove.prove import prove_loops
from loopwright.studio.folder import text_digest
from tests.layout.design import placed
from tests.studio.browser import LiveStudio, axe_faults, wait_for

TEXT = starter_text("starter")
SAFE = TEXT.replace("gate: auto", "gate: windowed")


@cache
def _verdicts(gate: str) -> dict[str, Any]:
    """The verdicts of the starter with `gate`, and of a second loop of which the same is said."""
    project, _ = check_text(TEXT, "starter.yaml")
    assert isinstance(project, Project)
    choices = project.choices.model_copy(update={"gate": gate})
    document = verdicts_document(
        prove_loops(placed(project.model_copy(update={"choices": choices})))
    )
    alike = [one | {"loop": "row 2 lane"} for one in document["verdicts"]]
    return document | {"verdicts": document["verdicts"] + alike, "laws": []}


def _job(kind: str, **more: Any) -> dict[str, Any]:
    return {
        "id": f"20260101T000000-{kind}", "kind": kind, "file": "starter.yaml",
        "digest": text_digest(TEXT), "options": {}, "state": "done", "done": 1.0, "note": "",
        "made": "2026-01-01T00:00:00Z", "ended": "2026-01-01T00:00:09Z", "files": [],
        "error": None, "findings": [],
    } | more  # fmt: skip


def _show(page: Any, studio: LiveStudio, results: dict[str, Any]) -> None:
    """The page with jobs that gave `results`, by kind."""
    jobs = [_job(kind) for kind in results]
    told = {job["id"]: {"job": job, "result": results[job["kind"]]} for job in jobs}

    def one(route: Any) -> None:
        route.fulfill(json=told[route.request.url.rpartition("/")[2]])

    page.route("**/api/jobs", lambda route: route.fulfill(json=jobs))
    page.route("**/api/jobs/*", one)
    page.goto(studio.address("proof"))
    page.reload()
    page.locator(".question").first.wait_for()


def test_loops_alike_are_told_once_with_every_figure(page: Any, studio: LiveStudio) -> None:
    _show(page, studio, {"prove": _verdicts("windowed")})
    assert page.locator(".question").count() == 2
    page.get_by_role("button", name="and 1 alike").click()
    page.get_by_text("The same is said of row 2 lane.").wait_for()
    first = _verdicts("windowed")["verdicts"][0]
    for line in first["because"]:
        figures = line.replace("<=", "\u2264").replace(" - ", " \u2212 ")
        assert page.get_by_text(figures).count() >= 1
    assert page.get_by_role("img", name="27 of at most 46").count() >= 1
    for name in first["claim"]["given"]:
        assert page.get_by_text(ASSUMPTIONS[name], exact=True).count() == 1
    page.locator("summary").first.click()
    proof = page.get_by_role("table", name="cannot jam: proof")
    assert proof.locator("tr").count() == len(first["claim"]["reasons"])
    assert axe_faults(page) == []


def test_a_jam_is_told_and_leads_to_the_floor(page: Any, studio: LiveStudio) -> None:
    _show(page, studio, {"prove": _verdicts("open")})
    jam = _verdicts("open")["verdicts"][0]["jam"]["sentence"]
    assert page.get_by_text(jam[1:]).count() == 1
    link = page.get_by_role("link", name="Play the jam")
    assert link.get_attribute("href").endswith("?play=20260101T000000-prove%3Arow%201%20lane")
    wait_for(page.get_by_role("button", name="How to bring it back").is_enabled)


PRICE = {
    "stations": 8, "pickers": 16, "gates": 1, "rows": 1, "cells": 64, "bridges": 0,
    "docks": 4, "floor": 300, "effort": "96", "power": "112/5", "rate": "1", "waste": "0",
}  # fmt: skip


def _tried(told: str, answer: str, text: str | None, **more: Any) -> dict[str, Any]:
    return {
        "told": told, "why": f"asked by {told}", "started": "1", "late": "1", "text": text,
        "unwritten": "", "outcomes": [[answer, answer]],
        "price": PRICE, "refusal": "", "green": answer == "proved",
    } | more  # fmt: skip


@pytest.fixture
def restored(studio: LiveStudio) -> Any:
    """The file of the studio, put back when the test is over."""
    path = studio.folder / "starter.yaml"
    yield path
    path.write_text(TEXT, "utf-8", newline="")


def test_a_remedy_is_written_and_taken_back(page: Any, studio: LiveStudio, restored: Any) -> None:
    tried = [
        _tried("as it is", "refuted", TEXT),
        _tried("choices.gate: windowed", "proved", SAFE, price=PRICE | {"pickers": 20}),
        _tried("choices.row: 2", "", None, price=None, refusal="no room", outcomes=[]),
    ]
    _show(
        page,
        studio,
        {"prove": _verdicts("open"), "remedy": {"tried": tried, "advice": ["a wider hall"]}},
    )
    best = page.locator("tr.best")
    assert "the first that helps" in best.inner_text()
    assert "20 (+4)" in best.inner_text().replace("\n", " ")
    assert "asked by choices.gate: windowed" in best.inner_text()
    assert page.get_by_text("cannot be built: no room").count() == 1
    assert page.get_by_text("a wider hall").count() == 1
    best.get_by_role("button", name="Apply").click()
    wait_for(lambda: restored.read_text("utf-8") == SAFE)
    page.get_by_role("button", name="Take it back").click()
    wait_for(lambda: restored.read_text("utf-8") == TEXT)


def test_a_card_has_its_steps_in_order_and_what_they_gave(page: Any, studio: LiveStudio) -> None:
    way = {
        "card": {"way": "by gate", "predicted": "860", "slowest": "1720", "missing": ["tap"]},
        "steps": ["See that tap can be supplied again.", "Let it run."],
        "time": "731", "share": "1", "standard": "1", "works": True,
    }  # fmt: skip
    recovery = {"groups": [{"loops": ["row 1 lane"], "title": "row 1 lane", "ways": [way]}]}
    _show(page, studio, {"prove": _verdicts("open"), "recover": recovery})
    card = page.get_by_role("region", name="Recovery card")
    assert card.locator("ol li").all_inner_texts() == way["steps"]
    assert (
        "full rate after 860 s; with one carrier taken off, which is enough, 1720 s. In the run: "
        "full rate after 731 s" in card.inner_text()
    )
