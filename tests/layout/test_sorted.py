"""Loops whose leftovers come back sorted: sidings, their lengths, and how they lie."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import gcd

import pytest

from loopwright.block.sequence import level_sequence
from loopwright.finding import DesignError
from loopwright.layout import check_layout
from loopwright.layout.edit import edited_layout
from loopwright.layout.layout import Layout
from loopwright.layout.map import layout_map
from loopwright.layout.read import layout_from_yaml
from loopwright.layout.siding import least_siding, most_in
from loopwright.layout.sorting import FIRST_END
from loopwright.layout.write import layout_yaml
from loopwright.prove.claim import Claim
from loopwright.prove.finder import find_safety
from loopwright.prove.rings import find_rings
from loopwright.record import Origin
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example, placed
from tests.layout.sorted_rows import sorted_kits, sorted_project

MIXES = (
    {"a": 1, "b": 1},
    {"a": 2, "b": 1},
    {"a": 1, "b": 3},
    {"a": 2, "b": 1, "c": 3},
    {"a": 7, "b": 1, "c": 1},
    {"a": 1, "b": 2, "c": 5, "d": 1},
    {"a": 5, "b": 1, "c": 1, "d": 1},
)


def _sidings(layout: Layout, row: str) -> dict[str, int]:
    head = f"{row} siding "
    return {
        belt.name.removeprefix(head): len(belt.path)
        for belt in layout.belts
        if belt.name.startswith(head)
    }


@pytest.mark.parametrize("pattern", ["AB", "AAB", "CACBCA", "AABCD", "ABABAC"])
@pytest.mark.parametrize("row", [1, 5, 18, 40])
def test_the_least_siding_is_the_first_that_holds_what_may_come(pattern: str, row: int) -> None:
    """Held against every stretch of a long repetition, looked at one by one."""
    kinds = sorted(set(pattern))
    numbers = [kinds.index(letter) for letter in pattern]
    for kind, letter in enumerate(kinds):
        least = least_siding(numbers, kind, row)
        for siding in (least - 1, least):
            places = row + siding
            long = pattern * (places // len(pattern) + 2)
            most = max(long[at : at + places].count(letter) for at in range(len(pattern)))
            assert most == most_in(numbers, kind, places)
            assert (most < siding) == (siding == least) or siding < 2


def test_a_pattern_of_one_material_has_nothing_to_sort() -> None:
    with pytest.raises(ValueError, match="nothing to sort"):
        least_siding([0, 0], 0, 10)


@pytest.mark.parametrize(
    ("kinds", "most"), [(2, 8), (3, 8), (4, 4), pytest.param(4, 8, marks=pytest.mark.slow)]
)
def test_sidings_of_half_of_the_places_are_long_enough_as_they_lie(kinds: int, most: int) -> None:
    for shares in product(range(1, most + 1), repeat=kinds):
        if gcd(*shares) > 1 or 2 * max(shares) > sum(shares):
            continue
        pattern = level_sequence(shares)
        for last in (6, 7, 11, 12, 23, 107):
            for number in range(kinds):
                row = last + min(number, kinds - 2) + 1
                back = last + 2 - FIRST_END + 6 * number + (number == kinds - 1) - 1
                assert least_siding(pattern, number, row) <= back


def test_each_material_has_its_siding_before_its_supply() -> None:
    layout = sorted_kits()
    assert not check_layout(layout)
    gate = layout.gates[0]
    assert (gate.rule, gate.main) == ("ratio-locked", None)
    assert [name.removeprefix("row 1 feed ") for name in gate.inlets] == ["candle", "seal", "tap"]
    merges = {merge.outlet: merge for merge in layout.merges}
    for material in ("candle", "seal", "tap"):
        merge = merges[f"row 1 feed {material}"]
        assert merge.rule == "priority"
        assert merge.inlets == (f"row 1 siding {material}", f"row 1 supply {material}")
    diverts = [divert for divert in layout.diverts if divert.name.startswith("row 1")]
    assert [divert.name for divert in diverts] == ["row 1 sort candle", "row 1 sort seal"]
    assert {divert.rule for divert in diverts} == {"material"}
    crossing = [belt.name for belt in layout.belts if any(cell.level for cell in belt.path)]
    assert [name for name in crossing if "row 1" in name] == [
        "row 1 supply candle",
        "row 1 supply seal",
    ]


@pytest.mark.parametrize("inputs", MIXES, ids=lambda inputs: ":".join(map(str, inputs.values())))
@pytest.mark.parametrize(
    "more",
    [
        {"stack": 1},
        {"stack": 4, "sides": "single", "rows": 3},
        {"stack": 8, "flow": "west"},
        {"stack": 2, "maintenance_gap": 4},
        {"stack": 3, "supply": "trunks", "rows": 4},
    ],
    ids=["double", "single", "west", "gaps", "trunks"],
)
def test_rows_of_any_mix_are_placed_and_cannot_jam(inputs: dict[str, int], more: dict) -> None:
    layout = placed(sorted_project(inputs, **more))
    assert not check_layout(layout)
    for ring in find_rings(layout):
        assert ring.kind == "sorted loop"
        assert isinstance(find_safety(ring), Claim)


@pytest.mark.parametrize("inputs", [MIXES[1], MIXES[4], MIXES[6]])
def test_layouts_come_back_from_their_file_and_their_map(inputs: dict[str, int]) -> None:
    layout = placed(sorted_project(inputs, stack=2))
    text = layout_yaml(layout, Origin("sha256:0", {}))
    assert layout_from_yaml(text, "l.yaml") == (layout, ())
    assert edited_layout(layout, layout_map(layout), "map.txt") == (layout, ())


def test_a_chosen_length_is_the_least_of_all_sidings() -> None:
    assert min(_sidings(placed(sorted_project(MIXES[3])), "row 1").values()) < 60
    longer = placed(sorted_project(MIXES[3], siding=60))
    assert not check_layout(longer)
    assert min(_sidings(longer, "row 1").values()) in (60, 61)
    shorter = placed(sorted_project({"a": 3, "b": 1}, siding=2))
    assert not isinstance(find_safety(find_rings(shorter)[0]), Claim)


def test_it_runs_at_full_rate_from_empty() -> None:
    layout = sorted_kits()
    span = Fraction(1200)
    begun = simulate_layout(layout, Scenario("a", "empty", span, Fraction(0), span)).end
    ended = simulate_layout(layout, Scenario("b", "empty", span, Fraction(0), span), start=begun)
    made = [
        ended.end.counters.stations[name].ended - count.ended
        for name, count in begun.counters.stations.items()
    ]
    assert set(made) == {60}


@pytest.mark.parametrize("width", [60, 61, 62, 63])
def test_rows_that_are_worked_out_fit_the_site(width: int) -> None:
    project = sorted_project({"a": 1, "b": 1, "c": 1, "d": 1}, rows=12, row="auto")
    site = project.site.model_copy(update={"width": width})
    assert not check_layout(placed(project.model_copy(update={"site": site})))


def test_what_it_does_not_go_with_is_told() -> None:
    flat = sorted_project({"a": 1, "b": 1, "c": 1, "d": 1, "e": 1})
    packer = flat.equipment.stations["packer"].model_copy(update={"height": 1})
    stations = {**flat.equipment.stations, "packer": packer}
    equipment = flat.equipment.model_copy(update={"stations": stations})
    with pytest.raises(DesignError, match="LW439"):
        placed(flat.model_copy(update={"equipment": equipment}))
    with pytest.raises(DesignError, match=r"LW436.*gate: sorted"):
        placed(sorted_project(MIXES[0], mix="mixer"))
    tight = example("filter-kits.yaml", rate=Fraction(36, 20), row=36, gate="sorted")
    with pytest.raises(DesignError, match="LW401"):
        placed(tight.model_copy(update={"site": tight.site.model_copy(update={"width": 126})}))
