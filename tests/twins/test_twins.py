"""The plain program and the compiled engine agree on every cell, buffer, hand and counter."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, note, settings
from hypothesis import strategies as st

from loopwright.layout.document import layout_document
from loopwright.layout.layout import Layout
from loopwright.simulate.columns import STRETCH
from loopwright.simulate.disturbance import NO_DISTURBANCES, Disturbances
from loopwright.simulate.scenario import Outage
from reference.simulate import Plant
from tests.engines import troubles_document
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each
from tests.twins.compiled import CompiledEngine
from tests.twins.coverage import FEATURES, features
from tests.twins.picture import differences, picture
from tests.twins.random_layouts import layouts, states
from tests.twins.random_troubles import troubles

EXAMPLES = int(os.environ.get("TWINS", "1000"))
LONG = int(os.environ.get("TWINS_TICKS", "800"))

# always the same layouts, unless a number of them is asked for: then new ones each time
THOROUGH = settings(
    max_examples=EXAMPLES,
    deadline=None,
    derandomize="TWINS" not in os.environ,
    database=None,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.explicit, Phase.generate, Phase.shrink],
)


SEEN: Counter[str] = Counter()
"""In how many layouts each feature was at work."""


def reversed_order(layout: Layout) -> Layout:
    """The same devices, listed the other way round."""
    kinds = [name for name in layout.__slots__ if isinstance(getattr(layout, name), tuple)]
    return replace(layout, **{kind: getattr(layout, kind)[::-1] for kind in kinds})


def compare(
    layout: Layout,
    outages: list[Outage],
    start: dict[str, Any],
    stops: tuple[int, ...],
    troubles: Disturbances = NO_DISTURBANCES,
    seed: int = 0,
) -> dict[str, Any]:
    """Hold both against each other at `stops`, the engine from the start and from stop to stop."""
    whole, divided = CompiledEngine(), CompiledEngine(divided=True)
    told = [{"source": o.source, "start": str(o.start), "span": str(o.span)} for o in outages]
    plain = Plant(layout_document(layout), told, start, troubles_document(troubles, seed))
    state, done, twisted = start, 0, reversed_order(layout)
    for stop in stops:
        plain.run(stop - done)
        expected = plain.state()
        gone_on = divided.run(twisted, stop - done, outages, state, troubles, seed)
        assert differences(expected, gone_on) == [], f"tick {stop}, going on from {done}"
        at_once = whole.run(layout, stop, outages, start, troubles, seed)
        assert differences(expected, at_once) == [], f"tick {stop} from the start"
        state, done = expected, stop
    plain.audit()
    return state


@pytest.mark.slow
@THOROUGH
@given(st.data())
def test_they_agree_on_random_plants(data: st.DataObject) -> None:
    layout = data.draw(layouts(), label="layout")
    note(picture(layout))
    start = data.draw(states(layout), label="start")
    outages = [
        Outage(source.name, Fraction(begin, 3), Fraction(span, 3))
        for source in layout.sources[:2]
        for begin, span in [data.draw(st.tuples(st.integers(0, 60), st.integers(0, 90)))]
    ]
    told = data.draw(troubles(layout), label="troubles")
    seed = data.draw(st.integers(0, 2**32 - 1), label="seed")
    split = data.draw(st.integers(9, LONG - 1), label="split")
    end = compare(layout, outages, start, (1, 8, split, LONG), told, seed)
    SEEN.update(features(layout, outages, told, end))


@pytest.mark.slow
def test_the_random_layouts_cover_every_device_rule_and_disturbance() -> None:
    """Runs after the test above, in the same process."""
    if EXAMPLES < 1000:
        pytest.skip("too few layouts were asked for")
    width = max(map(len, FEATURES))
    print("\n".join(f"{name:{width}} {SEEN[name]:6}" for name in FEATURES))
    assert [name for name in FEATURES if not SEEN[name]] == []


@pytest.mark.slow
def test_they_agree_on_plants_of_every_device() -> None:
    layout = one_of_each()
    compare(layout, [], Plant(layout_document(layout)).state(), (1, 50, LONG))


@pytest.mark.slow
def test_they_agree_on_plants_of_more_materials_than_small_cells_can_tell_apart() -> None:
    materials = [f"m {number}" for number in range(14)]
    build = Build(materials)
    feeds = [build.belt(f"feed {material}", 2) for material in materials]
    for feed, material in zip(feeds, materials, strict=True):
        build.source(feed, material, "1/3", load=3)
    trunks = [build.belt(f"trunk {number}", 3) for number in range(5)]
    for number, trunk in enumerate(trunks):
        build.merge(feeds[3 * number : 3 * number + 3], trunk)
    collectors = [build.belt("left", 3), build.belt("right", 3)]
    build.merge(trunks[:3], "left")
    build.merge(trunks[3:], "right")
    build.belt("lane", 20, 2)
    build.merge(collectors, "lane")
    build.drain("lane")
    build.station("kit", 5, {"m 13": 2, "m 2": 1}, {"m 0": 1})
    build.picker("in", ("lane", 8), "kit", "1/2", hand=2)
    build.picker("out", "kit", ("lane", 15), "1/2")
    layout = build.layout()
    compare(layout, [], Plant(layout_document(layout)).state(), (1, 50, 900))


def joined_plant() -> Layout:
    """Forty materials on belts that are all joined, of which none carries more than twenty."""
    materials = [f"m {number}" for number in range(40)]
    build = Build(materials)
    for number, half in enumerate((materials[:20], materials[20:])):
        lane = build.belt(f"lane {number}", 30, 3)
        first = build.belt(f"feed {half[0]}", 2)
        build.merge([first], lane)
        for place, material in enumerate(half):
            feed = first if material == half[0] else build.belt(f"feed {material}", 2)
            build.source(feed, material, f"1/{9 + place}", load=3)
            if feed != first:
                build.side_merge(feed, lane, place + 2)
        keep, rest = build.belt(f"keep {number}", 4), build.belt(f"rest {number}", 3)
        build.divert(lane, [keep, rest], "material", {half[5]: keep})
        build.drain(rest)
    build.belt("last", 12, 2)
    build.merge(["keep 0", "keep 1"], "last")
    build.drain("last")
    build.station("kit", 5, {"m 5": 1, "m 25": 1}, {"m 0": 1})
    build.picker("in", ("last", 6), "kit", "1/2", hand=2)
    build.picker("out", "kit", ("last", 9), "1/2")
    return build.layout()


@pytest.mark.slow
def test_they_agree_where_joined_belts_carry_more_materials_than_a_cell_can_tell_apart() -> None:
    layout = joined_plant()
    state = compare(layout, [], Plant(layout_document(layout)).state(), (1, 50, 900))
    assert state["counters"]["drains"]["last drain"]["units"]["m 0"] > 0


@pytest.mark.slow
def test_they_agree_on_belts_of_more_cells_than_are_looked_at_at_once() -> None:
    build = Build(["part", "kit"])
    build.belt("lane", STRETCH + 80, 30)
    build.source("lane", "part", "20", load=3)
    build.drain("lane")
    build.belt("out", STRETCH + 90, 30)
    build.drain("out")
    for number, cell in enumerate((7, STRETCH - 1, STRETCH, STRETCH + 31, STRETCH + 79)):
        build.station(f"packer {number}", "1/2", {"part": 2}, {"kit": 1})
        build.picker(f"in {number}", ("lane", cell), f"packer {number}", "1/6")
        build.picker(f"out {number}", f"packer {number}", ("out", cell), "1/6")
    layout = build.layout()
    end = compare(layout, [], Plant(layout_document(layout)).state(), (1, 1100, 1300))
    assert all(end["counters"]["picks"].values())


@pytest.mark.slow
def test_they_agree_with_the_compiler_switched_off() -> None:
    if os.environ.get("NUMBA_DISABLE_JIT") == "1":
        pytest.skip("switched off already")
    few = {"NUMBA_DISABLE_JIT": "1", "TWINS": "16", "TWINS_TICKS": "320"}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-k", "plants", __file__],
        env={**os.environ, **few},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
