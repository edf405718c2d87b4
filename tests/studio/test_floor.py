"""The floor as a message, and edits of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from loopwright.drawing import layout_marks
from loopwright.layout.read import read_layout
from loopwright.model.example import example_path
from loopwright.studio.drawn import drawn
from loopwright.studio.folder import Folder
from loopwright.studio.laid import Drafts


def floor(client: TestClient, text: str, **more: Any) -> dict[str, Any]:
    path = "/api/floor/edit" if more else "/api/floor"
    answer = client.post(path, json={"file": "kits.yaml", "text": text, **more})
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    return told


def test_the_floor_is_the_placed_layout(client: TestClient, demo: str, folder: Path) -> None:
    told = floor(client, demo)["floor"]
    laid = Drafts().lay(Folder(folder), "kits.yaml", demo)
    layout = laid.layout
    assert [one["name"] for one in told["belts"]] == [one.name for one in layout.belts]
    assert [one["cells"] for one in told["belts"]] == [len(one.path) for one in layout.belts]
    assert {one["name"] for one in told["stations"]} == {one.name for one in layout.stations}
    assert told["edited"] is False
    assert told["target"] > 0
    for belt, entry in zip(layout.belts, told["belts"], strict=True):
        corners = [tuple(entry["path"][at : at + 3]) for at in range(0, len(entry["path"]), 3)]
        cells = [corners[0]]
        for x, y, level in corners[1:]:
            while cells[-1] != (x, y, level):
                a, b, _ = cells[-1]
                cells.append((a + (x > a) - (x < a), b + (y > b) - (y < b), level))
        assert cells == [tuple(cell) for cell in belt.path]


def test_the_drawing_is_the_printed_one(demo: str, folder: Path) -> None:
    layout = Drafts().lay(Folder(folder), "kits.yaml", demo).layout
    marks, words, looks = drawn(layout)
    printed = layout_marks(layout)
    numbers = [mark for mark in printed if mark.layer == "stations" and hasattr(mark, "text")]
    assert sum(len(one.words) for one in words if one.layer == "stations") == len(numbers)
    pickers = [one for one in marks if one.layer == "pickers"]
    assert sum(len(one.points) for one in pickers) == len(layout.pickers)
    assert {one.ink for one in marks} <= set(looks)
    assert not any(one.ink.startswith("band") for one in marks)


def test_a_text_with_errors_has_findings_and_no_floor(client: TestClient) -> None:
    told = floor(client, "materials: {}\n")
    assert told["floor"] is None
    assert told["findings"]


def test_a_rule_is_set_and_kept(client: TestClient, demo: str, folder: Path) -> None:
    before = floor(client, demo)["floor"]
    gate = next(one for one in before["gates"] if len(one["rules"]) > 1)
    other = next(rule for rule in gate["rules"] if rule != gate["rule"])
    told = floor(client, demo, rules=[{"name": gate["name"], "rule": other}])
    assert told["kept"]
    assert told["floor"]["edited"]
    path = folder / "kits.layout.yaml"
    layout, findings = read_layout(path)
    assert layout is not None
    assert not findings
    assert next(one for one in layout.gates if one.name == gate["name"]).rule == other
    assert floor(client, demo)["floor"] == told["floor"]
    assert client.delete("/api/floor/kits.yaml").json() == {"forgotten": True}
    assert not path.exists()
    assert floor(client, demo)["floor"] == before
    assert client.delete("/api/floor/kits.yaml").json() == {"forgotten": False}


def test_a_device_in_the_way_is_told_and_not_kept(
    client: TestClient, demo: str, folder: Path
) -> None:
    before = floor(client, demo)["floor"]
    station, other = before["stations"][:2]
    x, y, _, _ = other["box"]
    told = floor(client, demo, moves=[{"name": station["name"], "x": x, "y": y}])
    assert not told["kept"]
    assert not (folder / "kits.layout.yaml").exists()
    moved = next(o for o in told["floor"]["stations"] if o["name"] == station["name"])
    assert moved["box"][:2] == [x, y]
    named = {one["device"] for one in told["findings"] if one["severity"] == "error"}
    assert named & {station["name"], other["name"]}


@pytest.mark.parametrize(
    "more",
    [
        {"moves": [{"name": "row 99", "x": 1, "y": 1}]},
        {"rules": [{"name": "row 1 gate", "rule": "nonsense"}]},
        {"rules": [{"name": "nobody", "rule": "open"}]},
    ],
)
def test_what_is_not_there_is_refused(client: TestClient, demo: str, more: dict[str, Any]) -> None:
    answer = client.post("/api/floor/edit", json={"file": "kits.yaml", "text": demo, **more})
    assert answer.status_code == 422
    assert answer.json()["error"].endswith(".")


def test_an_edited_layout_that_is_broken_is_told(
    client: TestClient, demo: str, folder: Path
) -> None:
    (folder / "kits.layout.yaml").write_text("kind: layout\nversion: 1\nwidth: many\n", "utf-8")
    told = floor(client, demo)
    assert told["floor"] is None
    assert {one["file"] for one in told["findings"]} == {"kits.layout.yaml"}


def test_a_layout_of_another_folder_is_not_followed(
    client: TestClient, demo: str, folder: Path
) -> None:
    (folder / "kits.layout.yaml").symlink_to(folder.parent / "secret.yaml")
    answer = client.post("/api/floor", json={"file": "kits.yaml", "text": demo})
    assert answer.status_code == 403


def test_other_examples_have_a_floor(client: TestClient) -> None:
    for name in ("starter.yaml", "check-block-pass.yaml"):
        told = floor(client, example_path(name).read_text("utf-8"))
        assert told["floor"] is not None, name
