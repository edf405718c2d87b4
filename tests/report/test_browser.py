"""The page in a browser: it fits, it zooms, it turns dark, and asks for nothing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from shutil import which
from typing import Any

import pytest

from tests.report.design import small_design

BROWSER = which("chromium")
sync_api = pytest.importorskip("playwright.sync_api")
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no browser here")


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with sync_api.sync_playwright() as play:
        started = play.chromium.launch(
            executable_path=BROWSER, args=["--no-sandbox", "--disable-gpu"]
        )
        yield started
        started.close()


@pytest.fixture
def opened(browser: Any, tmp_path: Path) -> Iterator[tuple[Any, list[str]]]:
    """The page, and all that it asked for or complained of."""
    path = tmp_path / "report.html"
    path.write_text(small_design().text(), encoding="utf-8")
    page = browser.new_page(viewport={"width": 800, "height": 900}, reduced_motion="reduce")
    heard: list[str] = []
    page.on("console", lambda message: heard.append(message.text))
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.on("request", lambda request: heard.append(request.url))
    page.goto(path.as_uri())
    heard.remove(path.as_uri())
    yield page, heard
    page.close()


@pytest.mark.parametrize("width", [800, 1440])
def test_nothing_sticks_out_at_the_side(opened: tuple[Any, list[str]], width: int) -> None:
    page, heard = opened
    page.set_viewport_size({"width": width, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert heard == []


def test_the_drawing_is_moved_by_buttons_keys_wheel_and_hand(
    opened: tuple[Any, list[str]],
) -> None:
    page, heard = opened

    def box() -> list[float]:
        seen = page.evaluate("document.querySelector('.view svg').getAttribute('viewBox')")
        return [float(part) for part in seen.split()]

    whole = box()
    page.click("[data-zoom=in]")
    assert box()[2] == pytest.approx(whole[2] / 1.5, abs=0.02)
    page.click("[data-zoom=whole]")
    assert box() == pytest.approx(whole, abs=0.01)
    page.focus(".view")
    for key in ("+", "+", "ArrowRight"):
        page.keyboard.press(key)
    closer = box()
    assert closer[2] < whole[2] / 2
    page.locator(".view").scroll_into_view_if_needed()
    frame = page.locator(".view").bounding_box()
    middle = (frame["x"] + frame["width"] / 2, frame["y"] + min(frame["height"], 300) / 2)
    page.mouse.move(*middle)
    page.mouse.wheel(0, -100)
    page.wait_for_function(
        f"document.querySelector('.view svg').viewBox.baseVal.width < {closer[2] - 1}"
    )
    before = box()
    page.mouse.down()
    page.mouse.move(middle[0] + 40, middle[1], steps=4)
    page.mouse.up()
    assert box()[0] < before[0]
    page.keyboard.press("0")
    assert box() == pytest.approx(whole, abs=0.01)
    assert heard == []


def test_light_and_dark(opened: tuple[Any, list[str]]) -> None:
    page, _ = opened

    def paper() -> str:
        return str(
            page.evaluate("getComputedStyle(document.querySelector('.sheet')).backgroundColor")
        )

    page.emulate_media(color_scheme="light")
    light = paper()
    page.click("#theme")
    dark = paper()
    assert light != dark
    page.click("#theme")
    assert paper() == light
    page.emulate_media(color_scheme="dark")
    assert paper() == light  # what the reader chose stays


def test_text_stands_out_from_its_ground(opened: tuple[Any, list[str]]) -> None:
    """Contrast of 4.5 to 1 or more for every piece of HTML text, light and dark (WCAG 2, AA)."""
    page, _ = opened
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = page.evaluate(CONTRAST)
        assert found > 0
        weak = page.evaluate(WEAK)
        assert weak == []


CONTRAST = "document.querySelectorAll('main p, main td, main th, main dt, main dd, a').length"

WEAK = """() => {
  const parse = (text) => text.match(/[0-9.]+/g).map(Number);
  const light = (rgb) => {
    const [r, g, b] = rgb.slice(0, 3).map((v) => {
      v /= 255;
      return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (node) => {
    for (let at = node; at; at = at.parentElement) {
      const colour = parse(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || colour[3] > 0) return colour;
    }
    return [255, 255, 255];
  };
  const weak = new Set();
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const node = texts.currentNode.parentElement;
    if (!texts.currentNode.data.trim() || node.closest("svg, script, .skip")) continue;
    const [a, b] = [light(parse(getComputedStyle(node).color)), light(ground(node))];
    if ((Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) < 4.5) {
      weak.add(`${node.tagName} ${node.className}`);
    }
  }
  return [...weak];
}"""
