"""The floor page on the check block: engine, socket and browser at 640 stations.

    python -m benchmarks studio

Needs the built pages (`make web`), playwright and chromium. What the browser takes is measured as
time of its processors too, for that says more than frames on a machine that does other work.
"""

from __future__ import annotations

import base64
import os
import shutil
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

from benchmarks.figure import Figure
from loopwright.model.read import read_project
from loopwright.simulate.scenario import project_scenario
from loopwright.simulate.watch import Watch, read_device
from loopwright.studio.folder import Folder
from loopwright.studio.frame import frame_bytes
from loopwright.studio.laid import Drafts
from tests.studio.browser import CHROMIUM, SWITCHES, LiveStudio, wait_for

EXAMPLE = Path(__file__).parents[1] / "examples" / "check-block.yaml"
CASE = "check block, 640"
PLAY, LONG = 10.0, 240.0
"""How long frames are counted, and how long it plays for the memory [s]."""


def run() -> Iterator[Figure | str]:
    """Everything that is measured of the floor page."""
    yield from _engine()
    with TemporaryDirectory() as name:
        folder = Path(name) / "designs"
        folder.mkdir()
        shutil.copy(EXAMPLE, folder / "block.yaml")
        studio = LiveStudio(folder)
        studio.start()
        try:
            yield from _browser(studio, Path(name) / "profile")
        finally:
            studio.stop()


def _engine() -> Iterator[Figure | str]:
    with TemporaryDirectory() as name:
        laid = Drafts().lay(Folder(Path(name)), "block.yaml", EXAMPLE.read_text("utf-8"))
    project = read_project(EXAMPLE)
    began = perf_counter()
    watch = Watch(laid.layout, project_scenario(project, "steady", laid.layout))
    watch.run_to(1)
    yield f"first tick, with loading or compiling: {perf_counter() - began:.2f} s"
    times = []
    for _ in range(300):  # as at real time: 30 frames a second, a tick each
        began = perf_counter()
        watch.run_to(watch.now + 1)
        data = frame_bytes(watch.view(), 1, float(watch.time))
        times.append(perf_counter() - began)
    yield Figure(CASE, "frame of the engine", 1e3 * median(times), "ms", at_most=5)
    yield Figure(CASE, "frame of the engine, longest", 1e3 * max(times), "ms")
    yield Figure(CASE, "size of a frame", len(data) / 1e3, "kB")
    began = perf_counter()
    watch.seek(Fraction(3600))
    yield Figure(CASE, "plant seconds a second", 3600 / (perf_counter() - began), "s/s")
    seeks = [_timed(lambda t=t: watch.seek(Fraction(t))) for t in (17, 3571, 1234, 2999, 60, 3600)]
    yield Figure(CASE, "seek, longest of 6", 1e3 * max(seeks), "ms", at_most=100)
    source = laid.layout.sources[0].name
    stops = [_timed(lambda on=on: watch.supply([source], on)) for on in (False, True, False)]
    yield Figure(CASE, "stop a supply", 1e3 * median(stops), "ms")
    asked = [_timed(lambda: read_device(watch, "row 3 station 17")) for _ in range(5)]
    yield Figure(CASE, "readings of a station", 1e3 * median(asked), "ms")
    size = sum(len(mark.snapshot) for mark in watch.diary.marks)
    yield f"{len(watch.diary.marks)} marks of an hour of the plant take {size / 1e6:.1f} MB"


def _timed(work: Callable[[], object]) -> float:
    began = perf_counter()
    work()
    return perf_counter() - began


def _browser(studio: LiveStudio, profile: Path) -> Iterator[Figure | str]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tool:
        context = tool.chromium.launch_persistent_context(
            str(profile),
            executable_path=str(CHROMIUM),
            args=[*SWITCHES, "--enable-unsafe-swiftshader"],
            viewport={"width": 1440, "height": 900},
        )
        page = context.new_page()
        page.goto(studio.link)
        came = _listen(context, page)
        for turn in ("first", "again"):
            page.goto(f"http://127.0.0.1:{studio.port}/#/")
            page.get_by_role("heading", name="Projects").wait_for()
            began = perf_counter()
            page.goto(studio.address("floor", "block.yaml"))
            wait_for(lambda: _painted(page) > 0, 120)
            goal = 3 if turn == "again" else None
            took = perf_counter() - began
            yield Figure(CASE, f"from click to picture, {turn}", took, "s", at_most=goal)
        yield f"painted by {page.locator('.sheets').get_attribute('data-painter')}"
        page.get_by_role("button", name="Play").click()
        yield from _frames(page, profile, came, "all of it")
        page.get_by_role("combobox", name="Find a device or row").fill("row 1 station 5")
        page.keyboard.press("Enter")
        yield from _frames(page, profile, came, "near")
        yield from _memory(context, page, studio)
        context.close()


def _listen(context: Any, page: Any) -> list[int]:
    """Sizes of all that comes over sockets [bytes]."""
    sizes: list[int] = []
    session = context.new_cdp_session(page)
    session.send("Network.enable")

    def take(event: dict[str, Any]) -> None:
        data, kind = event["response"]["payloadData"], event["response"]["opcode"]
        sizes.append(len(base64.b64decode(data)) if kind == 2 else len(data))

    session.on("Network.webSocketFrameReceived", take)
    return sizes


def _painted(page: Any) -> int:
    board = page.locator(".board[data-painted]")
    return int(board.get_attribute("data-painted")) if board.count() else 0


def _frames(page: Any, profile: Path, came: list[int], what: str) -> Iterator[Figure]:
    page.wait_for_timeout(2000)
    before, work, count = _painted(page), _work(profile), len(came)
    began = perf_counter()
    page.wait_for_timeout(PLAY * 1000)
    span = perf_counter() - began
    painted, spent = _painted(page) - before, _work(profile) - work
    yield Figure(CASE, f"frames, {what}", painted / span, "1/s", at_least=30)
    yield Figure(CASE, f"work of the browser, {what}", 1e3 * spent / max(1, painted), "ms a frame")
    yield Figure(CASE, f"socket, {what}", sum(came[count:]) / span / 1e3, "kB/s")


def _memory(context: Any, page: Any, studio: LiveStudio) -> Iterator[Figure | str]:
    """Memory after long play: half of the time as fast as it goes."""
    session = context.new_cdp_session(page)
    session.send("Performance.enable")

    def heap() -> float:
        session.send("HeapProfiler.collectGarbage")
        told = session.send("Performance.getMetrics")["metrics"]
        return next(one["value"] for one in told if one["name"] == "JSHeapUsedSize") / 1e6

    page.wait_for_timeout(3000)
    first, server = heap(), _resident(studio)
    page.wait_for_timeout(LONG * 500)
    page.get_by_label("Speed").select_option("max")
    page.wait_for_timeout(LONG * 500)
    hours = page.locator("output.time").inner_text()
    yield f"played {LONG / 60:.0f} min, the second half as fast as it goes, up to {hours}"
    yield Figure(CASE, "memory of the page", heap(), "MB")
    yield Figure(CASE, "growth of the page", heap() - first, "MB", at_most=5)
    yield Figure(CASE, "memory of the server", _resident(studio), "MB")
    yield Figure(CASE, "growth of the server", _resident(studio) - server, "MB", at_most=80)


def _resident(studio: LiveStudio) -> float:
    """Memory of the server [MB]."""
    process = studio.process
    text = Path(f"/proc/{process}/status").read_text("utf-8")
    line = next(line for line in text.splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1e3


def _work(profile: Path) -> float:
    """Time that the processors have worked for the browser with this profile [s]."""
    ticks = 0
    for entry in Path("/proc").iterdir():
        try:
            if entry.name.isdigit() and str(profile) in (entry / "cmdline").read_text("utf-8"):
                parts = (entry / "stat").read_text("utf-8").rpartition(")")[2].split()
                ticks += int(parts[11]) + int(parts[12])
        except OSError:
            continue  # it ended meanwhile
    return ticks / os.sysconf("SC_CLK_TCK")
