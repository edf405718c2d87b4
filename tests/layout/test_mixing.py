"""Mixers placed: a tree of merges before each mixed lane, exact however long it runs."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import Any

import pytest

from loopwright.block.mixer import design_mixer, prove_mixer
from loopwright.compare.change import Change, Edit, changed
from loopwright.finding import DesignError
from loopwright.layout import check_layout
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.prove import prove_loops
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import State
from tests.layout.design import example, placed
from tests.layouts.ratios import named, reduced_ratios

MATERIALS = ("candle", "seal", "tap")
PLACED = ["2:1:3", "1:1:1", "4:3:1", "1:2:1", "3:1", "2:1", "5:3:1", "1:1"]
EVERY = [
    ratio
    for ratio in reduced_ratios(range(2, 4), 12)
    if not (mixer := design_mixer(named(ratio))).feedback and len(mixer.leaves) <= 6
]
"""All ratios of two or three materials that need no feedback; six rows lie beside a lane."""


def _project(ratio: str, **choices: Any) -> Project:
    """One row of the example block with carriers of one unit in the ratio."""
    amounts = dict(zip(MATERIALS, map(int, ratio.split(":")), strict=False))
    choices.setdefault("gate", "open")
    choices.setdefault("row", 6 if choices["architecture"] == "loop" else "auto")
    project = example("filter-kits.yaml", rate=Fraction(12, 20), mix="mixer", **choices)
    process = project.processes["pack-kit"].model_copy(update={"inputs": amounts})
    project = project.model_copy(update={"processes": {**project.processes, "pack-kit": process}})
    return changed(project, Change(tuple(Edit(("materials", m, "stack"), 1) for m in MATERIALS)))


def _run(layout: Layout, span: int, start: State | None = None) -> State:
    scenario = Scenario("mix", "empty", Fraction(span), Fraction(0), Fraction(span))
    return simulate_layout(layout, scenario, start=start).end


def _mixed(layout: Layout, state: State) -> Counter[str]:
    """Carriers of each material that have passed the root: those that came in, but for those that
    are still on the belts of the tree."""
    found: Counter[str] = Counter()
    for source in (one for one in layout.sources if one.name.startswith("row 1 ")):
        found[source.material] += state.counters.sources[source.name].carriers
    tree = [belt.name for belt in layout.belts if belt.role == "supply" and "row 1 " in belt.name]
    for belt in tree:
        found.subtract(cell[0] for cell in state.belts[belt] if cell is not None)
    return found


@pytest.mark.parametrize("ratio", PLACED)
@pytest.mark.parametrize("architecture", ["loop", "pass"])
def test_a_placed_mixer_is_exact_over_ten_thousand_carriers(ratio: str, architecture: str) -> None:
    _exact(ratio, architecture)


@pytest.mark.slow
def test_every_ratio_without_feedback_is_placed_and_exact() -> None:
    assert len(EVERY) > 20
    for ratio in EVERY:
        _exact(":".join(map(str, ratio)), "loop")


def _exact(ratio: str, architecture: str) -> None:
    layout = placed(_project(ratio, architecture=architecture))
    assert not [finding for finding in check_layout(layout) if "LW41" not in finding.code]
    shares = dict(zip(MATERIALS, map(int, ratio.split(":")), strict=False))
    mixer = design_mixer(shares)
    merges = [one for one in layout.merges if one.rule == "alternate"]
    assert len([one for one in merges if one.name.startswith("row 1 ")]) == mixer.merges
    begun = _run(layout, 600)
    bound, state = prove_mixer(mixer).spread, begun
    before = _mixed(layout, begun)
    for _ in range(10):
        state = _run(layout, 2999, state)
        now = _mixed(layout, state)
        passed = {name: now[name] - before[name] for name in shares}
        total = sum(passed.values())
        for name, share in shares.items():
            assert abs(passed[name] - Fraction(total * share, mixer.total)) <= bound
    assert sum(_mixed(layout, state).values()) - sum(before.values()) >= 10_000


def test_a_loop_fed_by_a_mixer_is_not_proved_as_an_outage_shifts_its_mix() -> None:
    """A merge does not wait for an empty lane: the others go on, and nothing takes them back."""
    layout = placed(_project("2:1:3", architecture="loop"))
    safety = prove_loops(layout)[0]
    assert safety.outcome == "refuted"
    assert "brings candle, seal, tap: one that waits can hold up another" in safety.because[0]


def test_what_cannot_be_placed_is_refused() -> None:
    with pytest.raises(DesignError, match=r"LW436.*3:2.*feeds some of its output back"):
        placed(_project("3:2", architecture="pass"))
    with pytest.raises(DesignError, match=r"LW436.*leaves"):
        placed(_project("11:11:2", architecture="pass"))
    for gate in ("drained", "windowed"):
        with pytest.raises(DesignError, match=rf"LW436.*{gate}"):
            placed(_project("1:1", architecture="loop", gate=gate))
    with pytest.raises(DesignError, match=r"LW436.*trunks"):
        placed(_project("1:1", architecture="loop", supply="trunks"))
