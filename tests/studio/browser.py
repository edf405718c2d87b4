"""A studio in a process of its own, and a browser before its pages."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from loopwright.studio.static import BUNDLE

CHROMIUM = Path("/usr/bin/chromium")
SWITCHES = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
AXE = Path("src/loopwright/studio/web/node_modules/axe-core/axe.min.js")
PATIENCE = 30.0
"""How long a test waits for the pages [s]."""


class LiveStudio:
    """The studio of `folder`, served by the command; `link` opens it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.link = ""
        self.port = free_port()
        self._process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        """Serve, on the same port each time."""
        code = "from loopwright.cli.main import main; main()"
        command = [sys.executable, "-c", code, "studio", str(self.folder), "--no-browser"]
        command += ["--port", str(self.port)]
        self._process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert self._process.stdout is not None
        found = re.search(r"http://\S+\?token=\S+", self._process.stdout.readline())
        assert found is not None, "the studio did not say its link"
        self.link = found[0]

    def stop(self) -> None:
        """End it in good order."""
        if self._process is not None:
            self._process.terminate()
            self._process.communicate(timeout=10)
            self._process = None

    @property
    def process(self) -> int:
        """The number of its process."""
        assert self._process is not None, "it does not run"
        return self._process.pid

    def address(self, stage: str, file: str = "starter.yaml") -> str:
        """The page of a stage."""
        return f"http://127.0.0.1:{self.port}/#/{stage}/{file}"


def free_port() -> int:
    """A port that nobody has, not the one that everybody asks for first."""
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return int(door.getsockname()[1])


def wait_for(look: Callable[[], Any], patience: float = PATIENCE) -> Any:
    """What `look` gives, once it gives anything; it is asked again and again."""
    end = time.monotonic() + patience
    while True:
        found = look()
        if found:
            return found
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.05)


def axe_faults(page: Any) -> list[str]:
    """What the accessibility checker has against a page, serious and critical only."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{fault['id']} ({fault['impact']}): {node['target']} {node['failureSummary']}"
        for fault in found["violations"]
        if fault["impact"] in ("serious", "critical")
        for node in fault["nodes"]
    ]


def browsing() -> Iterator[Any]:
    """Chromium; the test is left out where there is none, or no bundle."""
    playwright = pytest.importorskip("playwright.sync_api")
    if not CHROMIUM.exists():
        pytest.skip("there is no chromium here")
    if not (BUNDLE / "index.html").is_file():
        pytest.skip("the pages are not built: make web")
    with playwright.sync_playwright() as tool:
        browser = tool.chromium.launch(executable_path=str(CHROMIUM), args=SWITCHES)
        yield browser
        browser.close()
