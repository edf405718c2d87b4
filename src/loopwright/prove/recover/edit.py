"""What a hand does to the state of a plant: take carriers off, empty pickers."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import fields, replace
from typing import TypeVar

from loopwright.layout.layout import Layout
from loopwright.prove.recover.card import Purge
from loopwright.simulate.start import empty_state
from loopwright.simulate.state import Counters, PickerState, State

T = TypeVar("T")


def taken_out(state: State, purge: Iterable[Purge], hands: Iterable[str] = ()) -> State:
    """`state` without the carriers of `purge` and with the pickers `hands` empty and idle."""
    belts = {name: list(cells) for name, cells in state.belts.items()}
    for one in purge:
        cell = belts[one.belt][one.index]
        assert cell is not None, f"nothing to take off at {one}"
        assert cell[0] == one.material, f"something else at {one}"
        belts[one.belt][one.index] = None
    emptied = dict.fromkeys(hands, PickerState("idle", None, 0, None))
    return replace(
        state,
        belts={name: tuple(cells) for name, cells in belts.items()},
        pickers={**state.pickers, **emptied},
    )


def state_of_part(state: State, part: Layout) -> State:
    """What `state` says of the devices of `part`; where its gates differ, they begin anew."""
    empty = empty_state(part)
    windows = {
        name: passed if len(passed := state.windows.get(name, ())) == len(blank) else blank
        for name, blank in empty.windows.items()
    }
    rules = {gate.name for gate in part.gates if gate.rule == "ratio-locked"}
    lengths = {gate.name: len(gate.inlets) for gate in part.gates}
    turns = {
        name: turn if name in rules else turn % lengths.get(name, max(1, turn + 1))
        for name, turn in _only(state.turns, empty.turns).items()
    }
    counters = {
        one.name: _only(getattr(state.counters, one.name), getattr(empty.counters, one.name))
        for one in fields(Counters)
    }
    return State(
        tick=state.tick,
        belts=_only(state.belts, empty.belts),
        stations=_only(state.stations, empty.stations),
        pickers=_only(state.pickers, empty.pickers),
        stores=_only(state.stores, empty.stores),
        turns=turns,
        windows=windows,
        credits=_only(state.credits, empty.credits),
        counters=Counters(**counters),
    )


def _only(whole: Mapping[str, T], names: Collection[str]) -> dict[str, T]:
    return {name: whole[name] for name in names}
