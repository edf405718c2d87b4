"""The floor in a browser: played, interfered with, edited, and read without eyes."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageColor

from loopwright.drawing.palette import COLOURS
from loopwright.model.example import example_path
from tests.studio.browser import LiveStudio, axe_faults, wait_for

FILE = "kits.yaml"


@pytest.fixture
def floor(page: Any, studio: LiveStudio) -> Iterator[Any]:
    """The page of the demonstration project, with its run at the start."""
    text = example_path("filter-kits.yaml").read_text("utf-8")
    (studio.folder / FILE).write_text(text, "utf-8", newline="")
    page.goto(studio.address("floor", FILE))
    wait_for(lambda: page.locator(".go:not([disabled])").count(), 90)
    yield page
    (studio.folder / "kits.layout.yaml").unlink(missing_ok=True)


def seconds(page: Any) -> float:
    """The time of the plant that the page shows [s]."""
    hours, minutes, rest = page.locator("output.time").inner_text().split(":")
    return 3600 * int(hours) + 60 * int(minutes) + float(rest)


def find(page: Any, name: str) -> None:
    """Choose a device by the search field."""
    page.get_by_role("combobox", name="Find a device or row").fill(name)
    page.keyboard.press("Enter")
    page.get_by_role("heading", name=name, exact=True).wait_for()


def seek(page: Any, time: float) -> None:
    page.get_by_role("slider", name="Time").fill(str(time))
    wait_for(lambda: abs(seconds(page) - time) < 0.3)


def ink(page: Any) -> list[int]:
    """How many pixels of each canvas are not empty."""
    counted: list[int] = page.evaluate(
        """() => [...document.querySelectorAll(".sheets canvas")].map((canvas) => {
            const room = document.createElement("canvas");
            room.width = canvas.width; room.height = canvas.height;
            const pen = room.getContext("2d");
            pen.drawImage(canvas, 0, 0);
            const data = pen.getImageData(0, 0, room.width, room.height).data;
            let count = 0;
            for (let at = 3; at < data.length; at += 4) if (data[at]) count += 1;
            return count;
        })"""
    )
    return counted


def test_it_plays_stops_and_goes_on_by_a_tick(floor: Any) -> None:
    assert seconds(floor) == 0
    floor.get_by_role("button", name="Play").click()
    wait_for(lambda: seconds(floor) > 1)
    floor.get_by_role("button", name="Pause").click()
    floor.get_by_role("button", name="Play").wait_for()
    stands = seconds(floor)
    floor.wait_for_timeout(400)
    assert seconds(floor) == stands
    floor.get_by_role("button", name="One tick").click()
    wait_for(lambda: seconds(floor) > stands)
    assert seconds(floor) - stands < 0.3
    assert min(ink(floor)) > 1000


def test_by_keys_alone(floor: Any) -> None:
    floor.get_by_role("application", name="Floor").focus()
    before = floor.locator(".scale span").inner_text()
    for _ in range(8):
        floor.keyboard.press("+")
    wait_for(lambda: floor.locator(".scale span").inner_text() != before)
    floor.keyboard.press("0")
    wait_for(lambda: floor.locator(".scale span").inner_text() == before)
    floor.keyboard.press("Space")
    wait_for(lambda: seconds(floor) > 0.5)
    floor.keyboard.press("Space")
    floor.get_by_role("button", name="Play").wait_for()


def test_full_rate_is_read_off_the_page(floor: Any) -> None:
    seek(floor, 300)
    told = floor.locator(".readouts .headline")
    target = float(told.locator(".soft").inner_text().split()[1])
    wait_for(lambda: float(told.locator(".value").inner_text()) > 0.97 * target)
    assert floor.locator(".jam-banner").count() == 0
    busy = floor.locator(".counts div", has_text="busy").locator("dd").inner_text()
    assert int(busy) == 216


def test_an_open_gate_jams_after_an_outage_and_the_page_says_why(floor: Any) -> None:
    find(floor, "row 1 gate")
    floor.get_by_label("Rule").select_option("open")
    wait_for(lambda: floor.get_by_label("Rule").input_value() == "open")
    floor.get_by_role("button", name="Same for all 6").click()
    seek(floor, 60)
    stop = floor.get_by_role("button", name="Stop supply of Rubber seal")
    stop.click()
    resume = floor.get_by_role("button", name="Resume supply of Rubber seal")
    resume.wait_for()
    assert floor.locator(".jam-banner").count() == 0
    seek(floor, 400)
    resume.click()
    stop.wait_for()
    seek(floor, 1500)
    banner = floor.get_by_role("alert").filter(has_text="Jam since")
    banner.wait_for()
    assert "the line stands" in banner.inner_text()
    assert "can come in" in banner.inner_text()
    floor.get_by_role("button", name="Show the loop").click()
    assert floor.locator(".scrubber .event.jam").count() == 1
    assert floor.locator(".scrubber .event.outage").count() == 1
    seek(floor, 50)
    wait_for(lambda: floor.locator(".jam-banner").count() == 0)
    seek(floor, 1500)
    banner.wait_for()
    banner.get_by_role("button", name="Go to Proof").click()
    wait_for(lambda: "#/proof/" in floor.url)


def test_the_readings_of_a_device_and_its_history(floor: Any) -> None:
    seek(floor, 200)
    find(floor, "row 2 lane")
    panel = floor.get_by_label("Readings of row 2 lane")
    panel.get_by_role("img", name="Mix on the belt").wait_for()
    assert "108 cells" in panel.inner_text()
    find(floor, "row 1 station 3")
    panel = floor.get_by_label("Readings of row 1 station 3")
    panel.get_by_role("img", name="share of time").wait_for()
    assert "pack-kit" in panel.inner_text()
    floor.keyboard.press("Escape")


def test_of_two_scenarios_chosen_in_a_row_only_the_last_is_opened(floor: Any) -> None:
    """What the run before tells late neither opens the new one nor moves its time."""
    late: list[Any] = []
    holds = [False]

    def connect(socket: Any) -> None:
        server = socket.connect_to_server()
        server.on_message(lambda told: (late.append if holds[0] else socket.send)(told))
        sockets.append(socket)

    def held() -> int:
        floor.wait_for_timeout(20)
        return sum(isinstance(told, str) and '"opened"' in told for told in late)

    sockets: list[Any] = []
    floor.route_web_socket("**/api/run", connect)
    floor.reload()
    wait_for(lambda: floor.locator(".go:not([disabled])").count(), 90)
    seek(floor, 300)
    slider, go = floor.get_by_role("slider", name="Time"), floor.locator(".go")
    holds[0] = True
    floor.get_by_label("Scenario").select_option("tap-outage")
    wait_for(lambda: held() == 1)
    floor.get_by_label("Scenario").select_option("steady")
    first, late[:] = late[:], []
    for told in first:
        sockets[-1].send(told)
    floor.wait_for_timeout(300)
    assert slider.is_disabled()
    assert go.is_disabled()
    assert seconds(floor) == 0
    wait_for(lambda: held() == 1)
    holds[0] = False
    for told in late:
        sockets[-1].send(told)
    seek(floor, 250)
    assert floor.locator(".scrubber .event.outage").count() == 0


def test_a_dock_is_stopped_by_a_click(floor: Any) -> None:
    find(floor, "row 3 dock tap")
    floor.get_by_role("button", name="Stop this supply").click()
    floor.get_by_role("button", name="Resume this supply").wait_for()
    assert floor.locator(".deeds").get_by_text("stopped").count() == 1


def test_a_row_that_is_dragged_too_far_is_told_and_not_kept(floor: Any, studio: LiveStudio) -> None:
    floor.get_by_role("button", name="Edit").click()
    find(floor, "row 2 station 18")
    floor.wait_for_timeout(500)
    board = floor.locator(".board").bounding_box()
    x, y = board["x"] + board["width"] / 2, board["y"] + board["height"] / 2
    floor.mouse.move(x, y)
    floor.mouse.down()
    floor.mouse.move(x + 60, y + 60, steps=5)
    floor.mouse.up()
    floor.get_by_text("not kept").wait_for()
    assert floor.locator(".edit .findings li.error").count() > 0
    assert not (studio.folder / "kits.layout.yaml").exists()
    floor.get_by_role("button", name="Discard").click()
    floor.get_by_text("as it was placed").wait_for()


def test_a_rule_that_is_kept_is_in_the_layout_beside_the_file(
    floor: Any, studio: LiveStudio
) -> None:
    floor.get_by_role("button", name="Edit").click()
    find(floor, "row 1 gate")
    floor.get_by_label("Rule").select_option("open")
    floor.get_by_text("edited by hand").wait_for()
    assert (studio.folder / "kits.layout.yaml").exists()
    floor.get_by_role("button", name="Place anew").click()
    floor.get_by_text("as it was placed").wait_for()
    assert not (studio.folder / "kits.layout.yaml").exists()


def tinted(page: Any) -> int:
    """Pixels of the floor, as the screen shows it, in the colour of the first material."""
    image = Image.open(BytesIO(page.locator(".board").screenshot())).convert("RGB")
    wanted = ImageColor.getrgb(COLOURS["material1"][0])
    return sum(
        count
        for count, pixel in image.getcolors(image.width * image.height)
        if all(abs(one - other) < 12 for one, other in zip(pixel, wanted, strict=True))
    )


def test_both_painters_show_the_carriers(floor: Any, studio: LiveStudio) -> None:
    """The plain pen and WebGL2 paint the same."""
    floor.get_by_role("checkbox", name="carriers").uncheck()
    floor.wait_for_timeout(400)
    docks = tinted(floor)
    seen = {}
    for painter in ("canvas", "webgl2"):
        floor.goto(f"http://127.0.0.1:{studio.port}/?painter={painter}#/floor/{FILE}")
        floor.reload()
        wait_for(lambda: floor.locator(".go:not([disabled])").count(), 60)
        if painter == "webgl2" and floor.locator('.sheets[data-painter="webgl2"]').count() == 0:
            pytest.skip("this browser has no WebGL2")
        wait_for(lambda: tinted(floor) > docks)
        floor.wait_for_timeout(500)
        seen[painter] = tinted(floor) - docks
    assert seen["canvas"] > 2000
    assert seen["webgl2"] == pytest.approx(seen["canvas"], rel=0.1)


@pytest.mark.parametrize("width", [1440, 800])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nobody_is_shut_out_and_nothing_is_cut_off(floor: Any, width: int, theme: str) -> None:
    floor.emulate_media(color_scheme=theme)
    floor.set_viewport_size({"width": width, "height": 900})
    seek(floor, 30)
    find(floor, "row 1 station 3")
    floor.wait_for_timeout(600)
    assert axe_faults(floor) == []
    wide = floor.evaluate("document.documentElement.scrollWidth")
    assert wide <= width
    told = floor.get_by_role("status").filter(has_text="stations in 6 rows")
    assert "kit a second" in told.inner_text()
