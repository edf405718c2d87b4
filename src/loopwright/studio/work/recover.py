"""How to bring back loops that stand; each card is carried out in a run."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.prove.recover import Outcome, recover_loop
from loopwright.prove.recover.document import recovery_document
from loopwright.prove.recover.standing import jam_loops, standing_loops
from loopwright.prove.ring import Ring
from loopwright.simulate import simulate_layout
from loopwright.simulate.state import State
from loopwright.studio.laid import Laid
from loopwright.studio.options import RecoverOptions
from loopwright.studio.work.task import Task, scenario_of


def run(task: Task) -> None:
    """Cards for the jams that are found, or for those that a scenario ends in."""
    options = task.read_options(RecoverOptions)
    laid = task.lay(options.gate)
    found: list[tuple[str, tuple[Outcome, ...]]] = []
    task.result("recovery", laid, recovery_document(found))
    for ring, state in _standing(task, laid, options.scenario):
        task.step(0.5, f"bringing back {ring.name}")
        found.append((ring.name, recover_loop(laid.layout, ring, state, options.purge)))
        task.result("recovery", laid, recovery_document(found))


def _standing(task: Task, laid: Laid, scenario: str | None) -> Iterator[tuple[Ring, State]]:
    if scenario is None:
        task.step(0.05, "looking for jams")
        yield from jam_loops(laid.layout)
        return
    asked = scenario_of(laid, scenario)
    show = task.part(f"simulating {scenario}", 0.05, 0.5)
    end = simulate_layout(laid.layout, asked, progress=show, until="jam").end
    yield from standing_loops(laid.layout, end)
