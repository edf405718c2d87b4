"""A stretch of a watched run in which nobody interferes."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.layout.layout import Gate, Layout
from loopwright.simulate.columns import BLOCKED
from loopwright.simulate.encode import Plant, encode
from loopwright.simulate.fill import fill
from loopwright.simulate.limit import EngineLimitError
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.state import State
from loopwright.simulate.watch.snapshot import take_snapshot
from loopwright.simulate.watch.tally import Clerk
from loopwright.simulate.watch.view import Lens
from loopwright.simulate.wiring import Wiring


class Era:
    """From tick `first` on, `layout` under `scenario`; `snapshot` is of that tick. `words` say what
    is other than before; none where only supplies are."""

    def __init__(self, layout: Layout, scenario: Scenario, state: State, words: str = "") -> None:
        """Begin with `state`.

        Raises
        ------
        LayoutError
            The devices do not fit each other.
        EngineLimitError
            Something is too large for the number formats of the engine.
        """
        self.layout, self.scenario, self.first = layout, scenario, state.tick
        self.words = words
        wiring = Wiring(layout)
        state = _fitted(wiring, state)
        try:
            self.plant: Plant = encode(wiring, scenario, state)
            fill(self.plant, state)
        except OverflowError as error:
            raise EngineLimitError(f"a number is too large for the engine: {error}") from error
        _settle(self.plant)
        self.lens = Lens(self.plant)
        self.clerk = Clerk(self.plant)
        self.snapshot = take_snapshot(self.plant)


def _settle(plant: Plant) -> None:
    """Let stations that wait say at once for what; else they would at the next tick."""
    for members, part in zip(plant.members, plant.parts, strict=True):
        short = (part.stations.inputs["held"] < part.stations.inputs["need"]).tolist()
        for row in part.stations.rows[: len(members.stations)]:
            if row.status == BLOCKED:
                own = short[row.input_first : row.input_last]
                row.status = own.index(True) if True in own else BLOCKED


def _fitted(wiring: Wiring, state: State) -> State:
    """`state` with the memory that the gates of `wiring` need: none of what they were before."""
    windows: dict[str, tuple[str | None, ...]] = {}
    turns = {name: turn % _choices(wiring, name) for name, turn in state.turns.items()}
    for name, gate in wiring.joints.items():
        if isinstance(gate, Gate) and gate.rule == "windowed":
            length = max(gate.window - 1, 0)
            held = state.windows.get(name, ())
            windows[name] = held if len(held) == length else (None,) * length
    credits = {
        name: state.credits.get(name, Fraction(0))
        for name, source in wiring.sources.items()
        if source.rate is not None
    }
    return replace(state, windows=windows, turns=turns, credits=credits)


def _choices(wiring: Wiring, name: str) -> int:
    """How many turns a joint or divert takes before it begins anew."""
    if name in wiring.diverts:
        return len(wiring.diverts[name].outlets)
    joint = wiring.joints[name]
    if isinstance(joint, Gate) and joint.rule == "ratio-locked":
        return len(joint.pattern)
    return max(1, len(joint.inlets))
