"""How long it takes to place and route a block with trunks, and how it comes to its bounds."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from pathlib import Path

from loopwright.block import size_block
from loopwright.grid import Box, Cell
from loopwright.layout import place_layout, place_project
from loopwright.layout.route.channel import Channel, Pin
from loopwright.layout.route.ground import Ground
from loopwright.layout.route.left_edge import assign_tracks
from loopwright.layout.route.reroute import route_nets
from loopwright.layout.route.search import Net
from loopwright.model import read_project
from loopwright.plan import solve_plan

CHECK_BLOCK = Path(__file__).parents[1] / "examples" / "check-block.yaml"


def _block(times: int) -> str:
    """The check block at a multiple of its rate, with trunks and without power nodes."""
    project = read_project(CHECK_BLOCK)
    update = {"architecture": "loop", "supply": "trunks", "power_node": "none"}
    choices = project.choices.model_copy(update=update)
    site = project.site.model_copy(update={"width": 900, "height": 900})
    demand = {name: rate * times for name, rate in project.demand.items()}
    project = project.model_copy(update={"choices": choices, "site": site, "demand": demand})
    block = size_block(solve_plan(project), project)
    start = time.perf_counter()
    layout = place_layout(block, project)
    spent = time.perf_counter() - start
    bridges = sum(
        one.level < other.level
        for belt in layout.belts
        for one, other in zip(belt.path, belt.path[1:], strict=False)
    )
    return (
        f"{len(layout.stations)} stations, {len(layout.sources)} supply docks, {bridges} bridges: "
        f"placed, routed and checked in {spent:.2f} s"
    )


def _site() -> str:
    """The example of a whole site, without power nodes."""
    project = read_project(CHECK_BLOCK.with_name("filter-works.yaml"))
    choices = project.choices.model_copy(update={"power_node": "none"})
    project = project.model_copy(update={"choices": choices})
    plan = solve_plan(project)
    start = time.perf_counter()
    layout = place_project(plan, project).layout
    spent = time.perf_counter() - start
    cells = sum(len(belt.path) for belt in layout.belts)
    return (
        f"a site of {len(layout.recipes)} sections, {len(layout.stations)} stations, {cells} belt "
        f"cells: placed, joined and checked in {spent:.2f} s"
    )


def _channel(nets: int) -> str:
    chance = random.Random(1)
    places = chance.sample(range(8 * nets), 2 * nets)
    pins = [Pin(f"n{i // 2}", at) for i, at in enumerate(places)]
    start = time.perf_counter()
    tracks = assign_tracks(Channel(tuple(pins)))
    return f"{nets} nets in a channel: {tracks.text()} in {time.perf_counter() - start:.2f} s"


def _ground(count: int) -> str:
    chance = random.Random(1)
    area = Box(0, 0, 60, 60)
    solid = {Cell(chance.randrange(60), chance.randrange(60)) for _ in range(200)}
    free = sorted(set(area.cells()) - solid)
    ends = chance.sample(free, 2 * count)
    nets = [Net(f"n{i}", ends[2 * i], ends[2 * i + 1]) for i in range(count)]
    start = time.perf_counter()
    ways = route_nets(Ground(area, 4, solid), nets)
    spent = time.perf_counter() - start
    return f"60 x 60 cells, a few blocked: {ways.text()} in {spent:.2f} s"


def run() -> Iterator[str]:
    """Blocks of 640 and 6,400 stations; a long channel; belts over broken ground."""
    yield _block(1)
    yield _block(10)
    yield _site()
    yield _channel(200)
    yield _ground(20)
