"""Files of the folder: listed, read, made, written."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from loopwright.studio.folder import Folder
from loopwright.studio.server import build_app
from tests.studio.conftest import HOME, TOKEN


def test_the_studio_says_what_it_is(client: TestClient) -> None:
    said = client.get("/api/studio").json()
    assert said["folder"] == "designs"
    assert [one["title"] for one in said["examples"]][:2] == [
        "Household water-filter kits",
        "Relief plant",
    ]


def test_a_project_is_made_from_the_starter_and_not_twice(client: TestClient, folder: Path) -> None:
    made = client.post("/api/files", json={"name": "press shop"})
    assert made.status_code == 200
    assert made.json()["file"] == "press shop.yaml"
    assert made.json()["title"] == "press shop"
    assert (folder / "press shop.yaml").is_file()
    again = client.post("/api/files", json={"name": "press shop.yaml"})
    assert again.status_code == 409
    assert "choose another name" in again.json()["error"]


def test_a_project_is_made_from_an_example(client: TestClient) -> None:
    made = client.post("/api/files", json={"name": "kits", "source": "filter-kits.yaml"})
    assert made.json()["title"] == "Household water-filter kits"
    assert client.get("/api/files").json() == [made.json()]
    none = client.post("/api/files", json={"name": "other", "source": "../secret.yaml"})
    assert none.status_code == 404


def test_what_is_written_is_read_again(client: TestClient, demo: str, folder: Path) -> None:
    before = client.get("/api/files/kits.yaml").json()
    assert before["text"] == demo
    text = demo + "# one more line\r\n"
    saved = client.put("/api/files/kits.yaml", json={"text": text, "base": before["digest"]})
    assert saved.status_code == 200
    assert (folder / "kits.yaml").read_bytes() == text.encode()
    assert client.get("/api/files/kits.yaml").json()["digest"] == saved.json()["digest"]


def test_a_request_that_is_not_understood_says_where(client: TestClient) -> None:
    answer = client.post("/api/files", json={"nam": "x"})
    assert answer.status_code == 400
    assert answer.json()["error"].startswith("The request is not understood: name")


def test_a_text_that_is_too_long_is_refused_kindly(client: TestClient, demo: str) -> None:
    answer = client.put("/api/files/kits.yaml", json={"text": "x" * 2_000_001, "base": ""})
    assert answer.status_code == 413
    assert "may have 2 MB" in answer.json()["error"]
    assert client.get("/api/files/kits.yaml").json()["text"] == demo


def test_a_project_is_made_from_another_with_its_layout(
    client: TestClient, demo: str, folder: Path
) -> None:
    (folder / "kits.layout.yaml").write_text("kind: layout\n", "utf-8")
    made = client.post("/api/files", json={"name": "second", "source": "kits.yaml"}).json()
    assert made["layout"]
    assert (folder / "second.yaml").read_text("utf-8") == demo
    assert (folder / "second.layout.yaml").read_text("utf-8") == "kind: layout\n"


def test_a_file_is_renamed_with_all_that_belongs_to_it(
    client: TestClient, demo: str, folder: Path
) -> None:
    base = client.get("/api/files/kits.yaml").json()["digest"]
    client.put("/api/files/kits.yaml", json={"text": demo + "# more\n", "base": base})
    (folder / "kits.layout.yaml").write_text("kind: layout\n", "utf-8")
    history = client.get("/api/files/kits.yaml/history").json()
    answer = client.post("/api/files/kits.yaml/rename", json={"name": "filters"})
    assert answer.json()["file"] == "filters.yaml"
    assert answer.json()["layout"]
    assert [one["file"] for one in client.get("/api/files").json()] == ["filters.yaml"]
    assert client.get("/api/files/filters.yaml/history").json() == history


def test_a_file_is_not_renamed_over_another(client: TestClient, demo: str, folder: Path) -> None:
    client.post("/api/files", json={"name": "other"})
    assert client.post("/api/files/kits.yaml/rename", json={"name": "other"}).status_code == 409
    assert client.post("/api/files/none.yaml/rename", json={"name": "a"}).status_code == 404
    away = client.post("/api/files/kits.yaml/rename", json={"name": "../kits"})
    assert away.status_code == 404
    assert (folder / "kits.yaml").read_text("utf-8") == demo


def test_examples_have_a_picture(client: TestClient) -> None:
    examples = {one["name"]: one for one in client.get("/api/studio").json()["examples"]}
    assert "6 x 36 = 216 stations" in examples["filter-kits.yaml"]["picture"]
    assert examples["relief-plant.yaml"]["picture"] == ""


def test_texts_of_earlier_times_keep_their_line_ends(client: TestClient, folder: Path) -> None:
    (folder / "a.yaml").write_bytes(b"a: 1\r\nb: 2\r\n")
    base = client.get("/api/files/a.yaml").json()["digest"]
    client.put("/api/files/a.yaml", json={"text": "a: 1\r\n", "base": base})
    first = client.get("/api/files/a.yaml/history/1").json()
    assert first == {"file": "a.yaml", "text": "a: 1\r\nb: 2\r\n", "digest": base}


@pytest.mark.parametrize("name", ["", " ", "a\x00", "a/b", "..", ".hidden", "x" * 300, "a\nb"])
def test_names_that_are_none_are_refused(client: TestClient, folder: Path, name: str) -> None:
    answer = client.post("/api/files", json={"name": name})
    assert answer.status_code == 404
    assert "is no name of a project file" in answer.json()["error"]
    assert list(folder.iterdir()) == []


def test_names_may_have_letters_of_any_script(client: TestClient) -> None:
    assert client.post("/api/files", json={"name": "Küche 2"}).json()["file"] == "Küche 2.yaml"
    assert client.get("/api/files/Küche 2.yaml").status_code == 200


def test_a_fault_of_the_program_is_told_as_such(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = build_app(folder, TOKEN)
    monkeypatch.setattr(Folder, "names", lambda _: 1 / 0)
    with TestClient(app, base_url=HOME, raise_server_exceptions=False) as client:
        client.get(f"/?token={TOKEN}", follow_redirects=False)
        answer = client.get("/api/files")
    assert answer.status_code == 500
    assert answer.json()["error"].startswith("A fault of the program: ZeroDivisionError")
    assert "content-security-policy" in answer.headers
