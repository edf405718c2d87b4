"""What happens to every item of a layout."""

from __future__ import annotations

from fractions import Fraction

from loopwright.layout.layout import Layout
from loopwright.simulate.clock import check_tick
from loopwright.simulate.course import Aim
from loopwright.simulate.drive import Progress, drive
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.start import empty_state_of
from loopwright.simulate.state import State
from loopwright.simulate.trace.writer import TraceWriter
from loopwright.simulate.wiring import Wiring


def simulate_layout(
    layout: Layout,
    scenario: Scenario,
    *,
    start: State | None = None,
    progress: Progress | None = None,
    past: Run | None = None,
    until: Aim | None = None,
    target: Fraction | None = None,
    trace: TraceWriter | None = None,
) -> Run:
    """Run `layout` through `scenario` by the rules of docs/theory/simulate.md.

    `start` is a state to go on from, in place of the one that the scenario names. `progress` is
    called with the share of the run that is done, in [0, 1], after every bin of the scenario. An
    interrupt from the keyboard ends the run early; what is done by then is returned.

    `past` is a run to go on with: the result is that of a run which never stopped. With `until` the
    run also ends when it brings `target` [units/s] (full-rate) or when nothing moves any more
    (jam). `trace` writes down what is on every cell while the run goes on.

    Raises
    ------
    LayoutError
        The devices do not fit each other.
    EngineLimitError
        Something is too large for the number formats of the engine.
    DesignError
        The tick of the layout is too fine.
    ValueError
        `past` is no part of such a run, or `target` is missing.
    BalanceError
        A fault of the engine itself: units were lost or made up.
    """
    wiring = Wiring(layout)
    check_tick(layout)
    if past is not None:
        start = past.start
    elif start is None:
        start = _start(wiring, scenario)
    return drive(
        wiring, scenario, start, progress, past=past, until=until, target=target, trace=trace
    )


def start_state(layout: Layout, scenario: Scenario) -> State:
    """The state that `scenario` starts from."""
    return _start(Wiring(layout), scenario)


def _start(wiring: Wiring, scenario: Scenario) -> State:
    if scenario.start == "empty":
        return empty_state_of(wiring)
    if scenario.start == "primed":
        from loopwright.simulate.prime import primed_state

        return primed_state(wiring.layout)
    raise ValueError(f"{scenario.name}: no start state {scenario.start}")
