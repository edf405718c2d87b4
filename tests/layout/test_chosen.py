"""Quotas, caps and the collector's belt, where the project chooses them."""

from __future__ import annotations

from fractions import Fraction

from loopwright.compare.change import Change, Edit, changed
from loopwright.layout.layout import Layout
from loopwright.model import Project
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Scenario
from tests.layout.design import example, placed

SIX = Fraction(6, 20)


def test_chosen_quotas_take_the_place_of_those_worked_out() -> None:
    own = dict(placed(_kits(gate="windowed")).gates[0].quotas)
    chosen = dict(placed(_kits(gate="windowed", quotas={"tap": 3})).gates[0].quotas)
    assert chosen == own | {"tap": 3}
    assert own["tap"] != 3


def test_chosen_caps_take_the_place_of_batches() -> None:
    project = _kits(gate="windowed")
    pack = project.processes["pack-kit"].model_copy(update={"caps": {"candle": 20, "tap": 1}})
    processes = {**project.processes, "pack-kit": pack}
    layout = placed(project.model_copy(update={"processes": processes}))
    assert {station.caps for station in layout.stations} == {
        (("candle", 20), ("seal", 9), ("tap", 1))
    }


def test_a_faster_collector_brings_more_to_the_make_up_row() -> None:
    """What comes on a collector is part-used, so it takes more cells than full carriers would."""
    same, quick = (_make_up_share(_pass(belt)) for belt in ("auto", "quick"))
    assert same < Fraction(9, 10) < quick


def _kits(**choices: object) -> Project:
    return example("filter-kits.yaml", rate=SIX, row=6, **choices)


def _pass(belt: str) -> Layout:
    """The check block as a pass, with a belt half as fast again in the catalogue."""
    project = example("check-block.yaml", architecture="pass", row=64, belt="belt")
    kind = project.equipment.belts["belt"]
    belts = {"belt": kind, "quick": kind.model_copy(update={"speed": kind.speed * 3 / 2})}
    equipment = project.equipment.model_copy(update={"belts": belts})
    choice = Change((Edit(("choices", "collector_belt"), belt),))
    return placed(changed(project.model_copy(update={"equipment": equipment}), choice))


def _make_up_share(layout: Layout) -> Fraction:
    """Busy share of the make-up row from 60 s to 220 s after an empty start."""
    span = Fraction(160)
    first = Scenario("first", "empty", Fraction(60), Fraction(0), Fraction(60))
    then = Scenario("then", "empty", span, Fraction(0), span)
    begun = simulate_layout(layout, first).end
    end = simulate_layout(layout, then, start=begun).end
    names = [station.name for station in layout.stations if station.row == "row 10"]
    done = sum(
        end.counters.stations[name].ended - begun.counters.stations[name].ended for name in names
    )
    return done * layout.recipes[0].cycle / span / len(names)
