"""The plain program itself: orders, tick, documents, command line, audit."""

from __future__ import annotations

import json
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.layout.document import layout_document
from loopwright.simulate.document import state_document, state_from_document
from loopwright.simulate.scenario import Outage
from reference.order import belt_order, common_tick, natural
from reference.simulate import Plant, main, outage_from
from tests.engines import Engine
from tests.layouts.build import Build
from tests.layouts.plants import one_of_each

OUTAGES = (
    Outage("a 1 source", Fraction(30), Fraction(41, 3)),
    Outage("b 1 source", Fraction(50), Fraction(20)),
)


@pytest.mark.parametrize(
    "names",
    [
        ["row 2", "row 10", "row 10 a", "row 11", "row b"],
        ["01", "1", "02", "2", "a", "a1", "a1b", "a2", "a10"],
        ["", "0", "a", "a01", "a1", "a01b", "a 1 b 2", "a 1 b 10"],
    ],
)
def test_natural_order(names: list[str]) -> None:
    """Runs of digits as numbers; alike names as text."""
    shuffled = Random(1).sample(names, len(names))
    assert sorted(shuffled, key=natural) == names


def test_common_tick() -> None:
    assert common_tick([Fraction(1, 2), Fraction(1, 3)]) == Fraction(1, 6)
    assert common_tick([Fraction(4, 3), Fraction(2), Fraction(10, 9)]) == Fraction(2, 9)
    assert common_tick([Fraction(5, 7)]) == Fraction(5, 7)


def test_tick_of_a_plant_counts_recipes_in_use_only() -> None:
    build = Build("AB")
    build.belt("x", 2, Fraction(15, 2))
    build.station("m", Fraction(16, 3), {"A": 1}, {"B": 1})
    build.picker("p", ("x", 0), "m", Fraction(2, 3))
    document = layout_document(build.layout())
    assert Plant(document).tick == Fraction(2, 15)
    unused = {**document["recipes"][0], "name": "unused", "cycle": "1/1000"}
    document["recipes"].append(unused)
    assert Plant(document).tick == Fraction(2, 15)


@pytest.mark.parametrize(
    ("downstream", "order", "breaks"),
    [
        # a line, upstream name first
        ({"a": "b", "b": "c", "c": ""}, "cba", ""),
        # a ring of three, with a spur in and a spur out
        ({"a": "b", "b": "ce", "c": "a", "d": "a", "e": ""}, "eacbd", "a"),
        # only belts on a ring are freed: `a` feeds the ring but lies on none
        ({"a": "b", "b": "c", "c": "b"}, "bac", "b"),
        # two rings that share belt c: one break opens both
        ({"c": "ab", "a": "c", "b": "c"}, "abc", "ab"),
        ({"a": "bc", "b": "a", "c": "a"}, "abc", "a"),
        # a belt that feeds itself
        ({"a": "a"}, "a", "a"),
    ],
)
def test_belt_order(downstream: dict[str, str], order: str, breaks: str) -> None:
    found = belt_order({belt: set(fed) for belt, fed in downstream.items()})
    assert found == (list(order), list(breaks))


def test_state_document_has_the_shape_of_a_state() -> None:
    """Written by the plain program, read and written again by the product: the same."""
    plant = Plant(layout_document(one_of_each()))
    for ticks in (0, 150):
        plant.run(ticks)
        document = plant.state()
        assert state_document(state_from_document(document)) == document
        assert json.loads(json.dumps(document)) == document


def test_every_device_of_one_of_each_works(engine: Engine) -> None:
    """So that the laws below speak of all of them."""
    counters = engine.run(one_of_each(), 1500, OUTAGES)["counters"]
    assert all(source["carriers"] for source in counters["sources"].values())
    assert all(all(joint["passed"]) for joint in counters["joints"].values())
    assert all(station["ended"] > 10 for station in counters["stations"].values())
    assert all(counters["picks"].values())
    assert all(all(passed) for passed in counters["diverts"].values())
    assert counters["drains"]["collector drain"]["units"]["P"] > 100


@settings(deadline=None, max_examples=6)
@given(cuts=st.lists(st.integers(0, 400), min_size=1, max_size=3))
def test_a_run_goes_on_from_its_state(engine: Engine, cuts: list[int]) -> None:
    """Cut anywhere, the parts give what the whole gives; the audit holds for each part."""
    layout = one_of_each()
    whole = engine.run(layout, 400, OUTAGES)
    state, done = None, 0
    for cut in [*sorted(cuts), 400]:
        state = engine.run(layout, cut - done, OUTAGES, state)
        done = cut
    assert state == whole


@settings(deadline=None, max_examples=6)
@given(seed=st.integers(0, 10**6))
def test_order_of_devices_in_the_file_changes_nothing(seed: int) -> None:
    """On the document, for a `Layout` keeps its devices in order of names."""
    document = layout_document(one_of_each())
    outages = [
        {"source": outage.source, "start": str(outage.start), "span": str(outage.span)}
        for outage in OUTAGES
    ]
    plant = Plant(document, outages)
    shuffled: dict[str, Any] = dict(document)
    random = Random(seed)
    for kind, devices in document.items():
        if isinstance(devices, list):
            shuffled[kind] = random.sample(devices, len(devices))
    for recipe in shuffled["recipes"]:
        recipe["inputs"] = random.sample(recipe["inputs"], len(recipe["inputs"]))
    other = Plant(shuffled, outages)
    plant.run(300)
    other.run(300)
    assert other.state() == plant.state()
    assert other.breaks == plant.breaks == ["lane 1"]


def test_a_tick_is_a_function_of_the_state() -> None:
    """Writing the state and reading it back at every tick loses nothing."""
    document = layout_document(one_of_each())
    plant, state = Plant(document), None
    for _ in range(60):
        plant.run(1)
        again = Plant(document, state=state)
        again.run(1)
        state = again.state()
        assert state == plant.state()


def test_audit_notices_a_lost_unit() -> None:
    document = layout_document(one_of_each())
    plant = Plant(document)
    plant.run(50)
    plant.audit()
    state = plant.state()
    plant._site.now["belts"]["lane 1"][0] = None if state["belts"]["lane 1"][0] else ["A", 1]
    with pytest.raises(AssertionError, match="in, "):
        plant.audit()


def test_state_is_a_copy() -> None:
    plant = Plant(layout_document(one_of_each()))
    state = plant.state()
    state["belts"]["lane 1"][0] = ["A", 1]
    assert plant.state()["belts"]["lane 1"][0] is None


@pytest.mark.parametrize("headed", [False, True])
def test_command_line(tmp_path: Path, headed: bool, capsys: pytest.CaptureFixture[str]) -> None:
    """A bare document or one with a header; on from a state, with outages."""
    document = layout_document(one_of_each())
    layout, middle = tmp_path / "layout.json", tmp_path / "middle.json"
    layout.write_text(json.dumps({"kind": "layout", "layout": document} if headed else document))
    outage = ["--outage", "a 1 source:30:41/3", "--outage", "b 1 source:50:20"]
    main([str(layout), "--ticks", "70", *outage])
    middle.write_text(capsys.readouterr().out)
    main([str(layout), "--ticks", "130", "--state", str(middle), *outage])
    end = json.loads(capsys.readouterr().out)
    plant = Plant(document, [outage_from(text) for text in outage[1::2]])
    plant.run(200)
    assert end == plant.state()


def test_runs_as_a_module_without_the_product(tmp_path: Path) -> None:
    """The plain program imports nothing of what it judges."""
    layout = tmp_path / "layout.json"
    layout.write_text(json.dumps(layout_document(one_of_each())))
    command = [sys.executable, "-m", "reference.simulate", str(layout), "--ticks", "3"]
    done = subprocess.run(
        command, capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2]
    )
    assert json.loads(done.stdout)["tick"] == 3
    lines = [
        line
        for file in (Path(__file__).parents[2] / "reference").glob("*.py")
        for line in file.read_text().splitlines()
    ]
    assert not [line for line in lines if "import" in line and "loopwright" in line]
