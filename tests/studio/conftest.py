"""A studio of an empty folder, and a browser that came by the link."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from loopwright.model.example import example_path
from loopwright.model.starter import starter_text
from loopwright.studio.server import build_app
from tests.studio.browser import LiveStudio, browsing

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


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """A browser."""
    yield from browsing()


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveStudio]:
    """A studio that runs, of a folder with the starter in it; for all tests of a file."""
    folder = tmp_path_factory.mktemp("designs")
    (folder / "starter.yaml").write_text(starter_text("starter"), "utf-8", newline="")
    live = LiveStudio(folder)
    live.start()
    try:
        yield live
    finally:
        live.stop()


@pytest.fixture
def page(chromium: Any, studio: LiveStudio) -> Iterator[Any]:
    """A page of it, opened by the link; what it complains of in its console fails the test."""
    context = chromium.new_context(viewport={"width": 1440, "height": 900})
    opened = context.new_page()
    faults: list[str] = []
    opened.on("pageerror", lambda error: faults.append(str(error)))
    opened.goto(studio.link)
    yield opened
    context.close()
    assert faults == []
