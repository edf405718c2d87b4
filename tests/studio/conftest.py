"""A studio of an empty folder, and a browser that came by the link."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from loopwright.model.example import example_path
from loopwright.studio.server import build_app

TOKEN = "the-token-of-this-test"
HOME = "http://127.0.0.1:8460"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The folder that the studio opens; a secret lies beside it."""
    (tmp_path / "secret.yaml").write_text("secret: yes\n", "utf-8")
    home = tmp_path / "designs"
    home.mkdir()
    return home


@pytest.fixture
def stranger(folder: Path) -> Iterator[TestClient]:
    """A browser that does not have the link."""
    with TestClient(build_app(folder, TOKEN), base_url=HOME, follow_redirects=False) as client:
        yield client


@pytest.fixture
def client(stranger: TestClient) -> TestClient:
    """A page of the studio."""
    stranger.get(f"/?token={TOKEN}")
    stranger.headers["Origin"] = HOME
    return stranger


@pytest.fixture
def demo(folder: Path) -> str:
    """The demonstration project, in the folder; its text."""
    text = example_path("filter-kits.yaml").read_text("utf-8")
    (folder / "kits.yaml").write_text(text, "utf-8", newline="")
    return text
