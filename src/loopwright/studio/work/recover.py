"""How to bring back loops that stand; each card is carried out in a run."""

from __future__ import annotations

from loopwright.prove.prove import prove_loops
from loopwright.prove.recover import recover_loops
from loopwright.prove.recover.document import recovery_document
from loopwright.prove.recover.standing import jam_together, standing_loops
from loopwright.prove.recover.text import loops_title
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
    task.result("recovery", laid, recovery_document(()))
    rings, state = _standing(task, laid, options.scenario)
    if state is None or not rings:
        return
    task.step(0.5, f"bringing back {loops_title([ring.name for ring in rings])}")
    found = recover_loops(laid.layout, rings, state, options.purge)
    task.result("recovery", laid, recovery_document(found))


def _standing(
    task: Task, laid: Laid, scenario: str | None
) -> tuple[tuple[Ring, ...], State | None]:
    if scenario is None:
        verdicts = prove_loops(laid.layout, progress=task.part("looking for jams", 0.05, 0.4))
        return jam_together(laid.layout, verdicts)
    asked = scenario_of(laid, scenario)
    show = task.part(f"simulating {scenario}", 0.05, 0.5)
    end = simulate_layout(laid.layout, asked, progress=show, until="jam").end
    return standing_loops(laid.layout, end), end
