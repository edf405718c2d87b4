"""A live run over a socket: orders, frames, messages."""

from __future__ import annotations

import json
import struct
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient, WebSocketTestSession

from loopwright.simulate.scenario import project_scenario
from loopwright.simulate.watch import Watch
from loopwright.studio.folder import Folder
from loopwright.studio.frame import HEAD
from loopwright.studio.laid import Drafts, Laid

RUN = "ws://127.0.0.1:8460/api/run"

WITHIN = 60
"""Time after which a message that does not come has not come [s]."""


class Page:
    """What a page does on its socket."""

    def __init__(self, socket: WebSocketTestSession) -> None:
        self.socket = socket
        self.frames = 0
        self.seen: list[dict[str, Any]] = []

    def say(self, kind: str, **more: Any) -> None:
        self.socket.send_json({"type": kind, **more})

    def next(self) -> dict[str, Any] | bytes:
        """The next message; a frame is acknowledged."""
        message = self.socket.receive()
        if "bytes" in message and message["bytes"] is not None:
            frame: bytes = message["bytes"]
            self.frames += 1
            self.say("ack", frame=HEAD.unpack_from(frame)[1])
            return frame
        told: dict[str, Any] = json.loads(message["text"])
        self.seen.append(told)
        return told

    def until(self, kind: str, **wanted: Any) -> dict[str, Any]:
        """The next message of a kind with these entries."""
        end = time.monotonic() + WITHIN
        while time.monotonic() < end:
            told = self.next()
            if isinstance(told, bytes) or told["type"] != kind:
                continue
            if all(told[key] == value for key, value in wanted.items()):
                return told
        raise AssertionError(f"no {kind} with {wanted}; seen {[t['type'] for t in self.seen]}")

    def frame(self) -> bytes:
        while True:
            told = self.next()
            if isinstance(told, bytes):
                return told


@pytest.fixture
def laid(demo: str, folder: Path) -> Laid:
    return Drafts().lay(Folder(folder), "kits.yaml", demo)


@pytest.fixture
def page(client: TestClient, demo: str) -> Iterator[Page]:
    with client.websocket_connect(RUN) as socket:
        page = Page(socket)
        page.say("open", file="kits.yaml", text=demo)
        page.until("opened")
        yield page


def test_it_opens_at_the_start(page: Page, laid: Laid) -> None:
    frame = page.frame()
    watch = Watch(
        laid.layout, project_scenario(laid.project, next(iter(laid.project.scenarios)), laid.layout)
    )
    view = watch.view()
    kind, number, at = HEAD.unpack_from(frame)
    assert (kind, number, at) == (1, 1, 0.0)
    belts = len(laid.layout.belts)
    first = HEAD.size + -(-2 * belts // 8) * 8
    stood = struct.unpack_from(f"<{belts}H", frame, HEAD.size)
    assert list(stood) == view.stood.tolist()
    rest = list(frame[first:])
    wanted = [*view.cells.tolist(), *view.stations.tolist(), *view.pickers.tolist()]
    assert rest == wanted
    told = page.until("status")
    assert not told["playing"]
    assert told["target"] > 0


def test_it_plays_pauses_steps_and_goes_back(page: Page) -> None:
    page.say("play", speed=60)
    while page.until("status")["time"] < 30:
        pass
    page.say("pause")
    stopped = page.until("status", playing=False)["time"]
    assert stopped >= 30
    page.say("step", ticks=3)
    after = page.until("status")["time"]
    assert after > stopped
    page.say("seek", time=10)
    back = page.until("status")
    assert back["time"] == pytest.approx(10, abs=0.2)
    assert back["reach"] == after
    assert page.frames > 5


def test_as_fast_as_it_goes(page: Page) -> None:
    page.say("play", speed="max")
    while (told := page.until("status"))["time"] < 3600:
        pass
    assert told["speed"] > 100
    page.say("pause")
    history = page.until("history")
    assert len(history["times"]) == len(history["rate"]) <= 362
    assert any(event["kind"] == "outage" for event in history["events"]) or history["events"] == []


def test_what_was_seen_is_seen_again(page: Page) -> None:
    page.say("seek", time=47)
    page.until("status")
    page.say("seek", time=90)
    page.until("status")
    seen = []
    for at in (47, 90, 47):
        page.say("seek", time=at)
        frame = page.frame()
        while HEAD.unpack_from(frame)[2] < at - 0.01 or HEAD.unpack_from(frame)[2] > at + 1:
            frame = page.frame()
        seen.append(frame[HEAD.size :])
    assert seen[0] == seen[2] != seen[1]


def test_a_supply_is_stopped_and_starts_again(page: Page, laid: Laid) -> None:
    material = laid.layout.sources[0].material
    docks = [one.name for one in laid.layout.sources if one.material == material]
    page.say("seek", time=20)
    page.say("supply", names=[material], on=False)
    told = page.until("status", off=docks)
    page.say("seek", time=25)
    page.say("supply", names=docks[:1], on=True)
    page.until("status", off=docks[1:])
    history = page.until("history")
    assert [event["kind"] for event in history["events"]].count("outage") >= 1
    page.say("supply", names=["nothing"], on=False)
    assert "nothing" in page.until("error")["error"]
    assert told["time"] == pytest.approx(20, abs=0.2)


def test_another_rule_and_a_device(page: Page, laid: Laid) -> None:
    gate = laid.layout.gates[0].name
    page.say("rule", names=[gate], rule="open")
    rules = page.until("status")["rules"]
    if laid.layout.gates[0].rule != "open":
        rules = rules or page.until("status")["rules"]
        assert rules == {gate: "open"}
    page.say("ask", device=gate)
    told = page.until("device")
    assert {"name": "rule", "value": "open"} in told["facts"]
    page.say("ask", device=laid.layout.stations[0].name)
    assert page.until("device")["kind"] == "station"
    page.say("rule", names=[gate], rule="upside down")
    assert "cannot be" in page.until("error")["error"]


def test_nonsense_is_told_and_the_run_goes_on(page: Page) -> None:
    page.socket.send_text("{")
    page.until("error")
    page.say("play", speed=-1)
    page.until("error")
    page.say("seek", time=1e300)
    page.until("error")
    page.say("step", ticks=1)
    while page.until("status")["time"] == 0:
        pass


def test_a_page_that_does_not_answer_gets_no_more_frames(client: TestClient, demo: str) -> None:
    with client.websocket_connect(RUN) as socket:
        page = Page(socket)
        page.say("open", file="kits.yaml", text=demo)
        page.say("play", speed=1)
        frames = statuses = 0
        while statuses < 12:
            message = socket.receive()
            if message.get("bytes") is not None:
                frames += 1
            elif '"status"' in message["text"]:
                statuses += 1
        assert frames <= 8


def test_no_run_of_what_has_errors(client: TestClient) -> None:
    with client.websocket_connect(RUN) as socket:
        page = Page(socket)
        page.say("play", speed=1)
        assert "No run" in page.until("error")["error"]
        page.say("open", file="kits.yaml", text="materials: {}\n")
        assert page.until("error")["findings"]
        page.say("open", file="../kits.yaml", text="materials: {}\n")
        assert page.until("error")["error"]


def test_not_too_many_at_once(client: TestClient, demo: str) -> None:
    with ExitStack() as stack:
        for _ in range(4):
            page = Page(stack.enter_context(client.websocket_connect(RUN)))
            page.say("open", file="kits.yaml", text=demo)
            page.until("opened")
        page = Page(stack.enter_context(client.websocket_connect(RUN)))
        page.say("open", file="kits.yaml", text=demo)
        assert "live runs" in page.until("error")["error"]
