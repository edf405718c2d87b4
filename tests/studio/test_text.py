"""A text as it is typed: checked, shown as a form, changed by single values."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML
from starlette.testclient import TestClient

from loopwright.model import check_text
from loopwright.model.example import EXAMPLES, example_path


def test_what_is_wrong_is_told_with_its_place(client: TestClient, demo: str) -> None:
    fine = client.post("/api/check", json={"file": "kits.yaml", "text": demo}).json()
    assert fine["ok"]
    wrong = demo.replace("cycle: 60 s", "cycle: 60 apples")
    said = client.post("/api/check", json={"file": "kits.yaml", "text": wrong}).json()
    assert not said["ok"]
    assert said["findings"][0]["code"] == "LW115"
    line = said["findings"][0]["line"]
    assert "apples" in wrong.splitlines()[line - 1]
    assert said["findings"][0]["remedy"]


def test_a_text_that_is_no_yaml_is_told_so(client: TestClient) -> None:
    said = client.post("/api/check", json={"file": "a.yaml", "text": "a: [1\n"}).json()
    assert not said["ok"]
    assert said["findings"]


def test_the_demo_is_checked_while_one_types(client: TestClient, demo: str) -> None:
    """Less than 150 ms of processor time, warm."""
    client.post("/api/check", json={"file": "kits.yaml", "text": demo})
    begun = time.process_time()
    for number in range(5):
        client.post("/api/check", json={"file": "kits.yaml", "text": f"{demo}# {number}\n"})
    assert (time.process_time() - begun) / 5 < 0.150


def test_a_catalogue_in_the_folder_is_used_and_none_outside(
    client: TestClient, demo: str, folder: Path
) -> None:
    head, rest = demo.split("equipment:\n", 1)
    equipment, tail = rest.split("\nsite:", 1)
    (folder / "tools.yaml").write_text(f"equipment:\n{equipment}\n", "utf-8")
    text = f"{head}equipment: {{use: tools.yaml}}\n\nsite:{tail}"
    assert client.post("/api/check", json={"file": "a.yaml", "text": text}).json()["ok"]
    (folder.parent / "secret.yaml").write_text(f"equipment:\n{equipment}\n", "utf-8")
    for away in ("../secret.yaml", "link.yaml"):
        if away == "link.yaml":
            (folder / away).symlink_to(folder.parent / "secret.yaml")
        other = text.replace("tools.yaml", away)
        said = client.post("/api/check", json={"file": "a.yaml", "text": other}).json()
        assert said["findings"][0]["code"] == "LW120"


def test_the_schema_fits_the_examples(client: TestClient, demo: str) -> None:
    schema = client.get("/api/schema").json()
    jsonschema.validate(YAML(typ="safe").load(demo), schema)


def _form(client: TestClient, text: str) -> dict[tuple[Any, ...], dict[str, Any]]:
    said = client.post("/api/form", json={"file": "kits.yaml", "text": text}).json()
    return {tuple(one["path"]): one for one in said["fields"]}


def test_the_form_has_what_is_written_and_what_could_be(client: TestClient, demo: str) -> None:
    form = _form(client, demo)
    stack = form["materials", "clay", "stack"]
    assert (stack["value"], stack["unit"], stack["default"]) == ("8", "units", "1")
    assert "  clay:" in demo.splitlines()[stack["line"] - 1]
    assert stack["range"] == "1 to 8"
    assert form["materials", "kit", "stack"]["given"] is False
    gate = form["choices", "gate"]
    assert gate["kind"] == "choice"
    assert "ratio-locked" in gate["allowed"]
    assert gate["help"].startswith("What admits fresh material to a loop.")
    assert "kiln" in form["processes", "fire-candle", "station"]["allowed"]
    assert "tap" in form["scenarios", "tap-outage", "outages", 0, "material"]["allowed"]
    cycle = form["processes", "fire-candle", "cycle"]
    assert (cycle["kind"], cycle["value"], cycle["unit"]) == ("quantity", "60 s", "s")


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_value_of_a_form_stands_where_it_says(client: TestClient, name: str) -> None:
    text = example_path(name).read_text("utf-8")
    lines = text.splitlines()
    form = _form(client, text)
    given = [one for one in form.values() if one["value"] is not None]
    assert len(given) > 30
    for one in given:
        key = one["path"][-1]
        assert isinstance(key, int) or f"{key}:" in lines[one["line"] - 1]


def test_a_value_is_changed_and_nothing_else(client: TestClient, demo: str) -> None:
    path = ["processes", "fire-candle", "cycle"]
    body = {"file": "kits.yaml", "text": demo, "path": path, "value": "50 s"}
    after = client.post("/api/form/edit", json=body).json()["text"]
    assert after == demo.replace("cycle: 60 s", "cycle: 50 s", 1)
    body = {"file": "kits.yaml", "text": after, "path": path, "value": "60 s"}
    assert client.post("/api/form/edit", json=body).json()["text"] == demo


def test_entries_and_lists_are_set_in_one_line(client: TestClient, demo: str) -> None:
    body = {"file": "k.yaml", "text": demo, "path": ["materials", "box"], "value": "{stack: 2}"}
    after = client.post("/api/form/edit", json=body).json()["text"]
    project, _ = check_text(after)
    assert project is not None
    assert project.materials["box"].stack == 2
    body = {"file": "k.yaml", "text": demo, "path": ["project", "name"], "value": "[a"}
    assert '  name: "[a"\n' in client.post("/api/form/edit", json=body).json()["text"]


def test_a_value_that_cannot_be_changed_is_refused_kindly(client: TestClient) -> None:
    body = {"file": "a.yaml", "text": "a: 1\n", "path": ["a", "b"], "value": "50 s"}
    said = client.post("/api/form/edit", json=body)
    assert said.status_code == 422
    assert "one value and no entries" in said.json()["error"]


def test_choices_are_set_together(client: TestClient, demo: str) -> None:
    choices = {"architecture": "plain", "sides": "single", "gate": None}
    body = {"file": "kits.yaml", "text": demo, "choices": choices}
    after = client.post("/api/choose", json=body).json()["text"]
    project, _ = check_text(after)
    assert project is not None
    assert project.choices.architecture == "plain"
    assert project.choices.sides == "single"
    assert project.choices.gate == "auto"


def test_a_table_goes_into_its_section(client: TestClient, demo: str) -> None:
    table = "name,title,speed [carriers/s],power [W]\nfast,Fast belt,12,90\nband,Band,5,50\n"
    body = {"file": "k.yaml", "text": demo, "kind": "belts", "name": "belts.csv", "table": table}
    after = client.post("/api/import", json=body).json()["text"]
    project, _ = check_text(after)
    assert project is not None
    assert project.equipment.belts["fast"].title == "Fast belt"
    before, _ = check_text(demo)
    assert before is not None
    assert set(project.equipment.belts) == {*before.equipment.belts, "fast", "band"}
    again = client.post("/api/import", json=body | {"text": after}).json()["text"]
    assert again == after


def test_a_table_that_is_wrong_changes_nothing(client: TestClient, demo: str) -> None:
    body = {"file": "k.yaml", "text": demo, "kind": "belts", "name": "belts.csv"}
    said = client.post("/api/import", json=body | {"table": "name,speed [apples]\na,1\n"}).json()
    assert said["text"] is None
    assert said["findings"]
    other = client.post("/api/import", json=body | {"table": "name,swing [s]\narm,1\n"})
    assert other.status_code == 422
    assert "a table of pickers, not of belts" in other.json()["error"]
