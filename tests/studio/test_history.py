"""Earlier texts: kept, bounded, given back."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from loopwright.studio import history
from loopwright.studio.folder import Folder, text_digest
from loopwright.studio.history import History


class Clock:
    """A clock that is put on by hand."""

    def __init__(self) -> None:
        self.time = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.time


def _add(kept: History, text: str) -> None:
    kept.add("a.yaml", text_digest(text), text)


def test_each_saving_is_a_version_that_can_be_had_again(client: TestClient, demo: str) -> None:
    first = client.get("/api/files/kits.yaml").json()
    text = demo.replace("packs 648", "packs 650").replace("stack: 8", "stack: 7")
    client.put("/api/files/kits.yaml", json={"text": text, "base": first["digest"]})
    versions = client.get("/api/files/kits.yaml/history").json()
    assert versions[0]["lines_added"] == 2
    assert [one["lines_removed"] for one in versions] == [2, 0]
    assert versions[1]["digest"] == first["digest"]
    old = client.get(f"/api/files/kits.yaml/history/{versions[1]['id']}").json()
    assert old["text"] == demo
    assert client.get("/api/files/kits.yaml/history/999").status_code == 404


def test_the_text_that_was_there_before_the_studio_is_a_version(
    client: TestClient, folder: Path
) -> None:
    (folder / "a.yaml").write_text("a: 1\n", "utf-8")
    base = client.get("/api/files/a.yaml").json()["digest"]
    client.put("/api/files/a.yaml", json={"text": "a: 2\n", "base": base})
    (folder / "a.yaml").write_text("a: 3\n", "utf-8")
    base = client.get("/api/files/a.yaml").json()["digest"]
    client.put("/api/files/a.yaml", json={"text": "a: 4\n", "base": base})
    listed = client.get("/api/files/a.yaml/history").json()
    texts = [client.get(f"/api/files/a.yaml/history/{one['id']}").json() for one in listed]
    assert [one["text"] for one in texts] == ["a: 4\n", "a: 3\n", "a: 2\n", "a: 1\n"]


def test_old_versions_are_thinned_to_one_an_hour(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(history, "NEWEST", 10)
    clock = Clock()
    kept = History(Folder(tmp_path), clock)
    for number in range(36):
        _add(kept, f"text {number}\n")
        clock.time += timedelta(minutes=10)
    versions = kept.versions("a.yaml")
    assert [one.digest for one in versions[:10]] == [
        text_digest(f"text {number}\n") for number in range(35, 25, -1)
    ]
    assert [one.time[11:16] for one in versions[10:]] == [
        "12:10", "11:50", "10:50", "09:50", "08:50",
    ]  # fmt: skip


def test_the_number_and_size_of_versions_are_bounded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(history, "MOST_VERSIONS", 7)
    clock = Clock()
    kept = History(Folder(tmp_path), clock)
    for day in range(20):
        _add(kept, f"text {day:02}\n")
        clock.time += timedelta(days=1)
    assert [one.id for one in kept.versions("a.yaml")] == [str(n) for n in range(20, 13, -1)]
    monkeypatch.setattr(history, "MOST_BYTES", 16)
    _add(kept, "last 20\n")
    assert len(kept.versions("a.yaml")) == 2


def test_a_version_more_costs_a_line_of_text_only_where_something_changed(tmp_path: Path) -> None:
    kept = History(Folder(tmp_path))
    for text in ("a\n", "a\n", "b\n", "a\n"):
        _add(kept, text)
    assert len(kept.versions("a.yaml")) == 3


def test_what_lies_there_besides_is_left_alone(tmp_path: Path) -> None:
    kept = History(Folder(tmp_path))
    _add(kept, "a\n")
    home = tmp_path / ".loopwright" / "history" / "a.yaml"
    (home / "notes.txt").write_text("mine", "utf-8")
    (tmp_path / "secret").write_text("secret", "utf-8")
    name = next(home.glob("000001*")).name.replace("000001", "000002")
    (home / name).symlink_to(tmp_path / "secret")
    assert [one.id for one in kept.versions("a.yaml")] == ["1"]
    assert kept.read("a.yaml", "2") is None
    assert (home / "notes.txt").is_file()


def test_what_the_studio_keeps_is_no_part_of_what_is_shared(tmp_path: Path) -> None:
    Folder(tmp_path).own("history")
    assert (tmp_path / ".loopwright" / ".gitignore").read_text("utf-8") == "*\n"
