"""The studio as somebody starts it: link, browser, Ctrl-C, and again."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx2
import pytest
from websockets.sync.client import connect

from loopwright.model.example import example_path
from tests.cli.typed import type_in

START = "from loopwright.cli.main import main; main()"
MOST = 60.0
"""Nothing takes so long, however busy the machine is [s]."""

LINK = re.compile(r"http://127\.0\.0\.1:(\d+)/\?token=\S+")


@dataclass
class Running:
    """A studio in a process of its own, and a page that came by its link."""

    process: subprocess.Popen[str]
    link: str
    page: httpx2.Client

    def interrupt(self) -> int:
        """Ctrl-C; how it ends."""
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=MOST)


@contextmanager
def _studio(folder: Path, *words: str) -> Iterator[Running]:
    typed = [sys.executable, "-c", START, "studio", str(folder), "--no-browser", *words]
    environment = os.environ | {"PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(typed, stdout=subprocess.PIPE, text=True, env=environment) as process:
        try:
            assert process.stdout is not None
            found = LINK.search(process.stdout.readline())
            assert found is not None
            home = f"http://127.0.0.1:{found[1]}"
            with httpx2.Client(base_url=home, headers={"Origin": home}, timeout=MOST) as page:
                _come(page, found[0])
                yield Running(process, found[0], page)
        finally:
            process.kill()


def _come(page: httpx2.Client, link: str) -> None:
    """Follow the link as soon as somebody listens."""
    until = time.monotonic() + MOST
    while True:
        try:
            assert page.get(link).status_code == 303
            return
        except httpx2.TransportError:
            assert time.monotonic() < until
            time.sleep(0.05)


def _children(process: int) -> list[int]:
    found = []
    for place in Path("/proc").glob("[0-9]*/stat"):
        try:
            parent = int(place.read_text().rsplit(")", 1)[1].split()[1])
        except (OSError, IndexError):
            continue
        if parent == process:
            found.append(int(place.parent.name))
    return found


def _alive(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks at processes in /proc")
def test_ctrl_c_ends_all_and_a_restart_shows_what_was(tmp_path: Path) -> None:
    text = example_path("filter-kits.yaml").read_text("utf-8")
    (tmp_path / "kits.yaml").write_text(text, "utf-8")
    with _studio(tmp_path) as studio:
        page = studio.page
        assert [one["file"] for one in page.get("/api/files").json()] == ["kits.yaml"]
        body = {"kind": "simulate", "file": "kits.yaml", "text": text, "options": {"hours": "900"}}
        job = page.post("/api/jobs", json=body).json()["id"]
        while _job(page, job)["note"] in ("", "starting"):
            time.sleep(0.05)
        family = _children(studio.process.pid)
        family += [child for parent in family for child in _children(parent)]
        assert family
        cookie = "; ".join(f"{name}={value}" for name, value in page.cookies.items())
        address = str(page.base_url.join("/api/events")).replace("http:", "ws:")
        with connect(
            address, origin=str(page.base_url), additional_headers={"Cookie": cookie}
        ) as events:
            assert job in str(events.recv(timeout=MOST))
            assert studio.interrupt() == 0
        until = time.monotonic() + MOST
        while any(map(_alive, family)) and time.monotonic() < until:
            time.sleep(0.05)
        assert [one for one in family if _alive(one)] == []
    with _studio(tmp_path) as studio:
        assert studio.page.get("/api/files/kits.yaml").json()["text"] == text
        assert _job(studio.page, job)["state"] == "interrupted"
        assert studio.interrupt() == 0


def _job(page: httpx2.Client, job: str) -> dict[str, Any]:
    found: dict[str, Any] = page.get(f"/api/jobs/{job}").json()["job"]
    return found


def test_a_port_that_is_taken_is_passed_over_unless_it_was_asked_for(tmp_path: Path) -> None:
    with socket.socket() as door:
        with suppress(OSError):  # if somebody else has it, that is as good
            door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            door.bind(("127.0.0.1", 8460))
        door.listen()
        with _studio(tmp_path) as studio:
            port = studio.page.base_url.port
            assert port not in (None, 8460)
            asked = type_in("studio", tmp_path, "--no-browser", "--port", str(port))
            assert asked.code == 2
            assert "address already in use" in asked.err
            assert studio.interrupt() == 0


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    typed = type_in("studio", tmp_path / "none", "--no-browser")
    assert typed.code == 2
    assert "there is no folder" in typed.err
