"""Pictures of every page for the docs: `python -m tests.studio.screens [PAGE ...]`.

Each page is shown on a light and a dark sheet, wide and narrow, as a reader of the demonstration
project finds it, and laid down in few colours in docs/pictures/studio.
"""

from __future__ import annotations

import re
import sys
import tempfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image

from loopwright.model.example import example_path
from tests.studio.browser import CHROMIUM, SWITCHES, LiveStudio, wait_for

TARGET = Path("docs/pictures/studio")
SIZES = {"wide": (1440, 900), "narrow": (800, 900)}
THEMES = ("light", "dark")
COLOURS = 256
MOST = 120_000
"""Bytes that a picture may have."""
FILE = "kits.yaml"
LONG = 300.0
"""How long the slowest job may take [s]."""

Show = Callable[[Any], None]


def main(wanted: list[str]) -> None:
    """Take the pictures of the pages `wanted`, all where none is named."""
    from playwright.sync_api import sync_playwright

    TARGET.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "designs"
        folder.mkdir()
        (folder / FILE).write_bytes(example_path("filter-kits.yaml").read_bytes())
        studio = LiveStudio(folder)
        studio.start()
        try:
            with sync_playwright() as tool:
                switches = [*SWITCHES, "--enable-unsafe-swiftshader"]
                browser = tool.chromium.launch(executable_path=str(CHROMIUM), args=switches)
                for page in wanted or PAGES:
                    for theme in THEMES:
                        for size in SIZES:
                            _take(browser, studio, page, theme, size)
                browser.close()
        finally:
            studio.stop()


def _take(browser: Any, studio: LiveStudio, name: str, theme: str, size: str) -> None:
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme=theme,
        storage_state=None,
        reduced_motion="reduce",
    )
    page = context.new_page()
    page.goto(studio.link)
    if name != "start":
        page.goto(studio.address("floor" if name == "near" else name, FILE))
    PAGES[name](page)
    page.wait_for_timeout(600)  # charts and drawings take their size after they are shown
    image = Image.open(BytesIO(page.screenshot())).convert("RGB")
    context.close()
    path = TARGET / f"{name}-{theme}-{size}.png"
    for colours in (COLOURS, COLOURS // 2, COLOURS // 4):
        image.quantize(colours, dither=Image.Dither.NONE).save(path, optimize=True)
        if path.stat().st_size <= MOST:
            break
    print(f"{path} {path.stat().st_size} bytes")


def _start(page: Any) -> None:
    page.get_by_role("heading", name="Projects").wait_for()


def _stands(page: Any) -> None:
    """A page that works out what it shows by itself."""
    wait_for(lambda: page.locator("#page svg, #page canvas, #page .cm-editor").count())
    page.wait_for_timeout(1500)


def _floor(page: Any) -> None:
    """Two minutes after the taps went away."""
    wait_for(lambda: page.locator(".go:not([disabled])").count(), LONG)
    page.get_by_role("combobox", name="Scenario").select_option("tap-outage")
    wait_for(lambda: page.locator(".go:not([disabled])").count(), LONG)
    _turn_to(page, 730, "0:12:10")
    page.evaluate("document.activeElement.blur()")


def _turn_to(page: Any, seconds: int, shown: str) -> None:
    """Ask for a time until it is shown: a run that is not open yet hears nothing."""

    def there() -> bool:
        page.get_by_role("slider", name="Time").fill(str(seconds))
        page.wait_for_timeout(1000)
        return bool(page.locator("output.time").inner_text().startswith(shown))

    wait_for(there, LONG)


def _near(page: Any) -> None:
    """The same floor when the taps are back, near a station whose readings are open."""
    _floor(page)
    _turn_to(page, 760, "0:12:40")
    field = page.get_by_label("Find a device or row")
    field.fill("row 3 station 24")
    wait_for(lambda: page.locator("#found").count(), LONG)
    field.press("Enter")
    wait_for(lambda: page.get_by_label("Readings of row 3 station 24").count(), LONG)
    page.evaluate("document.activeElement.blur()")


def _proof(page: Any) -> None:
    _done(page, "Prove", ".question")


def _stress(page: Any) -> None:
    """With a gate that locks the ratio, under which a wrong mix costs rate for ever."""
    page.get_by_role("combobox", name="gate").select_option("ratio-locked")
    _done(page, "Test", ".heat button.cell")
    page.locator(".heat button.cell").nth(5).click()


def _compare(page: Any) -> None:
    """Two gates under two lengths of rows."""
    page.get_by_role("button", name="Vary a key").click()
    page.get_by_role("button", name="Vary another").click()
    page.get_by_label("values").nth(0).fill("windowed, scarcest-first, open")
    page.get_by_label("values").nth(1).fill("18, 36")
    _done(page, "Compare", ".designs .point")
    page.locator(".designs .point").last.click()
    page.evaluate("document.getElementById('page').scrollTo(0, 0)")


def _report(page: Any) -> None:
    for paper in ("Sheets", "Drawing .DXF", "Tables", "Report"):
        made = page.get_by_role("row", name=re.compile(f"^{paper}"))
        button = made.get_by_role("button", name=re.compile("^Make"))
        wait_for(button.count)
        if "not made yet" in made.inner_text():
            wait_for(button.is_enabled)
            button.click()
    film = page.get_by_role("region", name="Animation")
    if "not made yet" in film.inner_text():
        film.get_by_label("for", exact=True).fill("20 s")
        film.get_by_label("caption").fill("Six rows at full rate")
        film.get_by_role("button", name=re.compile("^Make")).click()
    page.wait_for_timeout(500)
    wait_for(lambda: page.locator("progress").count() == 0, LONG)


def _done(page: Any, button: str, there: str) -> None:
    """Begin the work of the page, unless that was done before, and wait for its end."""
    begin = page.get_by_role("button", name=button, exact=True)
    anew = page.get_by_role("button", name=f"{button} anew")
    wait_for(lambda: begin.count() + anew.count())
    page.wait_for_timeout(500)  # until it is known whether there is a result
    if begin.count():
        wait_for(begin.is_enabled)
        begin.click()
    wait_for(
        lambda: page.locator(there).count() and page.locator("#page progress").count() == 0, LONG
    )


PAGES: dict[str, Show] = {
    "start": _start,
    "project": _stands,
    "plan": _stands,
    "block": _stands,
    "floor": _floor,
    "near": _near,
    "proof": _proof,
    "stress": _stress,
    "compare": _compare,
    "report": _report,
}

if __name__ == "__main__":
    main(sys.argv[1:])
