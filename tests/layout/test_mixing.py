"""Mixers placed: splits of lanes, a tree of merges and the way back, exact however long it runs."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import chain, product
from typing import Any

import pytest

from loopwright.block import size_block
from loopwright.block.mixer import Mixer, design_mixer, prove_mixer
from loopwright.compare.change import Change, Edit, changed
from loopwright.finding import DesignError, Severity
from loopwright.layout import check_layout, place_project
from loopwright.layout.design import design_findings, design_project
from loopwright.layout.layout import Layout
from loopwright.layout.mixing.bench import PRODUCT, mixer_layout
from loopwright.layout.mixing.floor import mixer_floor
from loopwright.model import Project
from loopwright.model.site import Dock
from loopwright.plan import solve_plan
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import State
from tests.layout.design import example
from tests.layout.mixers import mixed_rows, product_of, ring_cells
from tests.layouts.ratios import Ratio, named, reduced_ratios

MATERIALS = ("candle", "seal", "tap")
PLACED = ["2:1:3", "3:2", "5:2", "1:1:1", "7:5:1", "11:11:2", "3:2:2", "13:9"]
FED_BACK = [(3, 2), (5, 2), (1, 1, 1, 1, 1), (3, 2, 2), (10, 9), (17, 6), (5, 5, 1)]


def mixed_project(ratio: str, **choices: Any) -> Project:
    """The example block with short rows and carriers of one unit, its inputs in the ratio."""
    amounts = dict(zip(MATERIALS, map(int, ratio.split(":")), strict=False))
    total = sum(amounts.values())
    choices.setdefault("gate", "auto")
    choices.setdefault("row", 4 if choices["architecture"] == "loop" and total < 14 else "auto")
    project = example("filter-kits.yaml", rate=Fraction(12, 20), mix="mixer", **choices)
    process = project.processes["pack-kit"].model_copy(update={"inputs": amounts})
    project = project.model_copy(update={"processes": {**project.processes, "pack-kit": process}})
    edits = [Edit(("materials", name, "stack"), 1) for name in MATERIALS]
    return changed(project, Change((*edits, Edit(("site", "height"), 64))))


def mixed_layout(ratio: str, **choices: Any) -> Layout:
    project = mixed_project(ratio, **choices)
    return place_project(solve_plan(project), project).layout


def _run(layout: Layout, span: int, start: State | None = None) -> State:
    scenario = Scenario("mix", "empty", Fraction(span), Fraction(0), Fraction(span))
    return simulate_layout(layout, scenario, start=start).end


def _judge(mixer: Mixer, layout: Layout, rows: list[str], step: int, carriers: int) -> None:
    """No stretch of what leaves strays further than the proof allows, over so many carriers."""
    state = _run(layout, 600)
    begun = {row: product_of(layout, state, row) for row in rows}
    passed = dict.fromkeys(rows, 0)
    for _ in range(40):
        state = _run(layout, step, state)
        for row in rows:
            now = product_of(layout, state, row)
            counts = {name: now[name] - begun[row][name] for name, _ in mixer.shares}
            passed[row] = sum(counts.values())
            bound = prove_mixer(mixer).spread + ring_cells(layout, row)
            for name, share in mixer.shares:
                stray = counts[name] - Fraction(passed[row] * share, mixer.total)
                assert abs(stray) <= bound
        if min(passed.values()) >= carriers:
            return
    raise AssertionError(f"{passed} carriers only")


@pytest.mark.parametrize("ratio", PLACED)
@pytest.mark.parametrize(
    ("architecture", "supply"), [("loop", "docks"), ("loop", "trunks"), ("pass", "docks")]
)
def test_a_placed_mixer_is_exact_over_ten_thousand_carriers(
    ratio: str, architecture: str, supply: str
) -> None:
    layout = mixed_layout(ratio, architecture=architecture, supply=supply)
    assert not check_layout(layout)
    shares = dict(zip(MATERIALS, map(int, ratio.split(":")), strict=False))
    mixer = design_mixer(shares)
    rows = mixed_rows(layout)
    merges = [one for one in layout.merges if one.rule == "alternate"]
    assert len(merges) == len(rows) * mixer.merges
    _judge(mixer, layout, rows[:1] if architecture == "pass" else rows, 2999, 10_000)


@pytest.mark.parametrize("shares", [(2, 1, 3), *FED_BACK])
def test_it_is_exact_and_as_fast_as_it_is_said_to_be(shares: Ratio) -> None:
    """By itself, with nothing that holds it up."""
    mixer = design_mixer(named(shares))
    layout = mixer_layout(mixer)
    _judge(mixer, layout, ["mixer"], 1999, 10_000)
    begun = _run(layout, 600)
    ended = _run(layout, 6000, begun)
    taken = [sum(state.counters.drains[PRODUCT].carriers.values()) for state in (begun, ended)]
    assert abs(taken[1] - taken[0] - 6000 * mixer.net_rate) <= 1 + ring_cells(layout, "mixer")


@pytest.mark.slow
def test_every_ratio_up_to_twelve_is_placed_and_exact() -> None:
    for shares in reduced_ratios(range(2, 5), 12):
        mixer = design_mixer(named(shares))
        _judge(mixer, mixer_layout(mixer), ["mixer"], 1999, 10_000)


@pytest.mark.slow
def test_every_ratio_up_to_the_largest_total_is_placed() -> None:
    """Without a finding; its head is no longer than the block takes it to be."""
    devices: Counter[int] = Counter()
    for shares in chain(reduced_ratios(range(2, 4), 24), reduced_ratios(range(4, 7), 14)):
        mixer = design_mixer(named(shares))
        layout = mixer_layout(mixer)
        assert not [one for one in check_layout(layout) if one.severity is Severity.ERROR]
        assert -mixer_floor(mixer, 0, -2, 4).west - 6 <= mixer.columns
        assert len(layout.merges) == mixer.merges
        leaves = Counter(material for material, _ in mixer.leaves)
        back = leaves.pop(None, 0)
        lanes = sum(count - (2 if count > 2 else 1) for count in leaves.values())
        assert len(layout.diverts) == lanes + back
        devices[len(layout.diverts) - mixer.supply_splits - mixer.feedback_splits] += 1
    assert devices == {0: 380, 1: 268, 2: 5}


def test_more_leaves_than_rows_beside_the_lane_make_the_module_deeper() -> None:
    shallow = mixed_layout("2:1:3", architecture="loop")
    deep = mixed_layout("13:9", architecture="loop")
    tops = [
        min(cell.y for belt in layout.belts for cell in belt.path) for layout in (shallow, deep)
    ]
    lanes = [
        next(belt.path[-1].y for belt in layout.belts if belt.name == "row 1 lane")
        for layout in (shallow, deep)
    ]
    assert lanes[1] - tops[1] > lanes[0] - tops[0]


@pytest.mark.parametrize("flow", ["east", "west"])
def test_sections_of_a_site_have_mixers_too(flow: str) -> None:
    layout = mixed_layout("2:1:3", architecture="loop", scope="site", flow=flow)
    assert not [one for one in check_layout(layout) if one.severity is Severity.ERROR]
    assert mixed_rows(layout) == ["pack-kit row 1", "pack-kit row 2", "pack-kit row 3"]


def test_a_lane_is_what_comes_out_of_its_mixer() -> None:
    """3:2 passes 5/6 of a belt, so a lane serves 5/6 of the stations, and rows are shorter."""
    project = mixed_project("3:2", architecture="loop", row="auto", surplus=Fraction(0))
    block = size_block(solve_plan(project), project)
    other = mixed_project("3:2", architecture="loop", row="auto", surplus=Fraction(0))
    other = changed(other, Change((Edit(("choices", "mix"), "gate"),)))
    gated = size_block(solve_plan(other), other)
    assert (block.mix, block.net_rate, block.gate) == ("mixer", Fraction(5, 6), "drained")
    assert block.capacity == Fraction(5, 6) * gated.capacity
    assert (gated.mix, gated.net_rate) == ("gate", 1)
    with pytest.raises(DesignError, match=r"LW303.*mixer.*5/6"):
        mixed_layout("3:2", architecture="loop", row=int(gated.capacity), surplus=Fraction(0))


def test_where_an_error_in_the_mix_stays_it_is_told() -> None:
    told = {}
    for architecture, gate in product(("loop", "pass"), ("open", "auto")):
        project = mixed_project("2:1:3", architecture=architecture, gate=gate)
        found = design_findings(design_project(project))
        told[architecture, gate] = [one.message for one in found if one.code == "LW313"]
    assert "stays on each loop" in told["loop", "open"][0]
    assert "stays on each make-up row" in told["pass", "open"][0]
    assert told["loop", "auto"] == told["pass", "auto"] == []


def test_what_is_drained_beyond_the_plan_is_told() -> None:
    """Four stations use 24 carriers in 20 s at 5 a second, of 1 that pass: 6/25 of a belt."""
    alone = mixed_project("2:1:3", architecture="loop")
    site = mixed_project("2:1:3", architecture="loop", scope="site")
    assert not [one for one in design_findings(design_project(alone)) if one.code == "LW314"]
    (found,) = [one for one in design_findings(design_project(site)) if one.code == "LW314"]
    assert "uses 0.24" in found.message
    for rate, told in ((Fraction(6), 0), (Fraction(1), 1)):
        dock = Dock(material="candle", rate=rate)
        site = alone.site.model_copy(update={"docks": (dock,)})
        design = design_project(alone.model_copy(update={"site": site}))
        assert [one.code for one in design_findings(design)].count("LW314") == told


@pytest.mark.parametrize("gate", ["ratio-locked", "counted", "windowed", "scarcest-first"])
def test_gates_that_choose_are_refused_with_the_reason(gate: str) -> None:
    with pytest.raises(DesignError, match=rf"LW436.*{gate}.*one (inlet|belt)"):
        mixed_layout("1:1", architecture="loop", gate=gate)


def test_a_ratio_without_a_mixer_is_refused() -> None:
    with pytest.raises(DesignError, match=r"LW436.*13:12.*at most 24"):
        mixed_layout("13:12", architecture="loop", row="auto")
