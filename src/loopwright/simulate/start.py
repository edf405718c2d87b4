"""The state before the first tick."""

from __future__ import annotations

from fractions import Fraction

from loopwright.layout.layout import Gate, Layout
from loopwright.simulate.state import (
    ApplicatorCount,
    ApplicatorState,
    Counters,
    DrainCount,
    JointCount,
    PickerState,
    SourceCount,
    State,
    StationCount,
    StationState,
)
from loopwright.simulate.wiring import Wiring, inlets_of


def empty_state(layout: Layout) -> State:
    """Nothing on the belts, all hands, stations and stores empty, all counters 0."""
    return empty_state_of(Wiring(layout))


def empty_state_of(wiring: Wiring) -> State:
    """`empty_state` of a layout that is wired already."""
    return State(
        tick=0,
        belts={name: (None,) * len(belt.path) for name, belt in wiring.belts.items()},
        stations={
            name: StationState(
                inputs={material: 0 for material, _ in recipe.inputs},
                outlet={material: 0 for material, _ in recipe.outputs},
                kept={material: Fraction(0) for material, _ in recipe.outputs},
                due=None,
            )
            for name, recipe in wiring.recipe.items()
        },
        pickers={name: PickerState("idle", None, 0, None) for name in wiring.picker_rank},
        stores={name: {} for name in wiring.stores},
        turns=dict.fromkeys((*wiring.joints, *wiring.diverts), 0),
        windows={
            name: (None,) * max(gate.window - 1, 0)
            for name, gate in wiring.joints.items()
            if isinstance(gate, Gate) and gate.rule == "windowed"
        },
        credits={
            name: Fraction(0) for name, source in wiring.sources.items() if source.rate is not None
        },
        counters=_no_counts(wiring),
        applicators={
            name: ApplicatorState(0, Fraction(0), Fraction(0)) for name in wiring.applicators
        },
    )


def _no_counts(wiring: Wiring) -> Counters:
    joints = {name: len(inlets_of(joint)) for name, joint in wiring.joints.items()}
    joints |= dict.fromkeys(wiring.flanks, 1)
    return Counters(
        sources={name: SourceCount(0, 0, 0) for name in wiring.sources},
        drains={name: DrainCount({}, {}) for name in wiring.drains},
        joints={name: JointCount(0, (0,) * inlets) for name, inlets in joints.items()},
        diverts={name: (0,) * len(divert.outlets) for name, divert in wiring.diverts.items()},
        stations={
            name: StationCount(
                *(0, 0, 0, 0),
                {material: 0 for material, _ in recipe.inputs},
                graded=(0,) * len(recipe.grades),
            )
            for name, recipe in wiring.recipe.items()
        },
        applicators={name: ApplicatorCount(0, 0, 0, 0, 0) for name in wiring.applicators},
        picks=dict.fromkeys(wiring.picker_rank, 0),
    )
