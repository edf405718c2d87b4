"""Several pages and other programs write one file: no change is lost."""

from __future__ import annotations

import time
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from starlette.testclient import TestClient

from loopwright.studio.desk import open_desk
from loopwright.studio.folder import text_digest
from loopwright.studio.message import Conflict, Saved
from loopwright.studio.refusal import RefusalError
from loopwright.studio.save import save_text

START = "".join(f"line {number}\n" for number in range(12))


def test_changes_of_two_pages_on_other_lines_are_both_kept(client: TestClient, demo: str) -> None:
    base = client.get("/api/files/kits.yaml").json()["digest"]
    one = demo.replace("  name: Household water-filter kits", "  name: Kits")
    two = demo + "\n# the end\n"
    assert client.put("/api/files/kits.yaml", json={"text": one, "base": base}).json() == {
        "digest": text_digest(one),
        "text": None,
    }
    second = client.put("/api/files/kits.yaml", json={"text": two, "base": base})
    assert second.status_code == 200
    both = client.get("/api/files/kits.yaml").json()
    assert second.json() == {"digest": both["digest"], "text": both["text"]}
    assert "  name: Kits\n" in both["text"]
    assert both["text"].endswith("# the end\n")


def test_changes_of_the_same_line_are_a_conflict_with_both_texts(
    client: TestClient, demo: str
) -> None:
    base = client.get("/api/files/kits.yaml").json()["digest"]
    one, two = demo.replace("stack: 8", "stack: 7"), demo.replace("stack: 8", "stack: 6")
    client.put("/api/files/kits.yaml", json={"text": one, "base": base})
    second = client.put("/api/files/kits.yaml", json={"text": two, "base": base})
    assert second.status_code == 409
    assert second.json()["theirs"] == one
    assert second.json()["digest"] == text_digest(one)
    assert client.get("/api/files/kits.yaml").json()["text"] == one


def test_a_base_that_nobody_knows_is_a_conflict(client: TestClient, demo: str) -> None:
    answer = client.put("/api/files/kits.yaml", json={"text": "a: b\n", "base": "sha256:0"})
    assert answer.status_code == 409
    assert client.get("/api/files/kits.yaml").json()["text"] == demo


def test_a_file_that_is_gone_is_not_made_by_accident(client: TestClient, folder: Path) -> None:
    body = {"text": "a: b\n", "base": "sha256:0"}
    assert client.put("/api/files/a.yaml", json=body).status_code == 404
    assert client.put("/api/files/a.yaml", json=body | {"base": ""}).status_code == 200
    assert client.put("/api/files/a.yaml", json=body | {"base": ""}).status_code == 409


def test_other_pages_hear_of_changes(client: TestClient, demo: str, folder: Path) -> None:
    base = client.get("/api/files/kits.yaml").json()["digest"]
    with client.websocket_connect("ws://127.0.0.1:8460/api/events") as page:
        text = demo + "# more\n"
        client.put("/api/files/kits.yaml", json={"text": text, "base": base})
        told = {"type": "file", "file": "kits.yaml", "digest": text_digest(text)}
        assert page.receive_json() == told
        time.sleep(0.01)
        (folder / "kits.yaml").write_text("by: another program\n", "utf-8")
        assert page.receive_json()["digest"] == text_digest("by: another program\n")
        (folder / "new.yaml").write_text("a: b\n", "utf-8")
        assert page.receive_json()["file"] == "new.yaml"
        (folder / "new.yaml").unlink()
        assert page.receive_json() == {"type": "file", "file": "new.yaml", "digest": None}


class Pages(RuleBasedStateMachine):
    """Two pages and another program add lines with names of their own, and take lines away."""

    @initialize()
    def begin(self) -> None:
        self.place = TemporaryDirectory()
        self.file = Path(self.place.name) / "a.yaml"
        self.file.write_text(START, "utf-8")
        self.desk = open_desk(Path(self.place.name))
        self.count = 0
        self.kept: set[str] = set()
        held = self.desk.folder.read("a.yaml")
        self.desk.history.remember(held.digest, held.text)
        self.texts = dict.fromkeys((0, 1), START)
        self.bases = dict.fromkeys((0, 1), held.digest)
        self.fresh: dict[int, set[str]] = {0: set(), 1: set()}

    def teardown(self) -> None:
        if hasattr(self, "place"):
            self.place.cleanup()

    @rule(page=st.integers(0, 1), where=st.integers(0, 40))
    def type(self, page: int, where: int) -> None:
        lines = self.texts[page].splitlines()
        self.count += 1
        name = f"typed {self.count}"
        lines.insert(min(where, len(lines)), name)
        self.texts[page] = "\n".join(lines) + "\n"
        self.fresh[page].add(name)

    @rule(page=st.integers(0, 1))
    def save(self, page: int) -> None:
        saved = self._saved(page)
        if isinstance(saved, Conflict):
            assert saved.theirs == self.file.read_text("utf-8")
            mine = sorted(self.fresh[page])  # what a person would do: theirs, and mine below
            self.texts[page] = saved.theirs + "".join(f"{name}\n" for name in mine)
            self.bases[page] = saved.digest
            return
        self.kept |= self.fresh[page]
        self.fresh[page] = set()
        self.texts[page] = self.texts[page] if saved.text is None else saved.text
        self.bases[page] = saved.digest

    def _saved(self, page: int) -> Saved | Conflict:
        try:
            return save_text(self.desk, "a.yaml", self.texts[page], self.bases[page])
        except RefusalError as refused:
            body = refused.body
        assert isinstance(body, Conflict)
        return body

    @rule(where=st.integers(0, 40))
    def write_outside(self, where: int) -> None:
        lines = self.file.read_text("utf-8").splitlines()
        self.count += 1
        name = f"outside {self.count}"
        lines.insert(min(where, len(lines)), name)
        self.file.write_text("\n".join(lines) + "\n", "utf-8")
        self.kept.add(name)

    @invariant()
    def nothing_is_lost(self) -> None:
        if hasattr(self, "file"):
            held = self.file.read_text("utf-8").splitlines()
            assert self.kept <= set(held)
            assert len(held) == len(set(held))


TestPages = Pages.TestCase
TestPages.settings = settings(max_examples=40, stateful_step_count=25)
