"""What happens to every item of a layout."""

from __future__ import annotations

from loopwright.layout.layout import Layout
from loopwright.simulate.drive import Progress, drive
from loopwright.simulate.run import Run
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.start import empty_state_of
from loopwright.simulate.state import State
from loopwright.simulate.wiring import Wiring


def simulate_layout(
    layout: Layout,
    scenario: Scenario,
    *,
    start: State | None = None,
    progress: Progress | None = None,
) -> Run:
    """Run `layout` through `scenario` by the rules of docs/theory/simulate.md.

    `start` is a state to go on from, in place of the one that the scenario names. `progress` is
    called with the share of the run that is done, in [0, 1], after every bin of the scenario. An
    interrupt from the keyboard ends the run early; what is done by then is returned.

    Raises
    ------
    LayoutError
        The devices do not fit each other.
    EngineLimitError
        Something is too large for the number formats of the engine.
    BalanceError
        A fault of the engine itself: units were lost or made up.
    """
    wiring = Wiring(layout)
    if start is None:
        start = _start(wiring, scenario)
    return drive(wiring, scenario, start, progress)


def _start(wiring: Wiring, scenario: Scenario) -> State:
    if scenario.start == "empty":
        return empty_state_of(wiring)
    if scenario.start == "primed":
        from loopwright.simulate.prime import primed_state

        return primed_state(wiring.layout)
    raise ValueError(f"{scenario.name}: no start state {scenario.start}")
