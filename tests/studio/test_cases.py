"""What a stress test will try is told before it is begun."""

from __future__ import annotations

from starlette.testclient import TestClient


def test_cases_are_told_by_material_and_length(client: TestClient, demo: str) -> None:
    options = {"outages": ["45 s", "2 min"], "shortages": ["0.8"], "gate": "open"}
    body = {"file": "kits.yaml", "text": demo, "options": options}
    told = client.post("/api/cases", json=body).json()["cases"]
    assert told[0] == {"kind": "undisturbed", "material": "", "span": "0", "share": "0"}
    outages = [(one["material"], one["span"]) for one in told if one["kind"] == "outage"]
    assert outages == [(name, span) for name in ("candle", "seal", "tap") for span in ("45", "120")]
    assert {one["share"] for one in told if one["kind"] == "shortage"} == {"4/5"}


def test_lengths_that_are_none_are_refused(client: TestClient, demo: str) -> None:
    body = {"file": "kits.yaml", "text": demo, "options": {"outages": ["soon"]}}
    answer = client.post("/api/cases", json=body)
    assert answer.status_code in (400, 422)
    assert "soon" in answer.json()["error"]
