"""What a layout stands: rows that fill while the cases are run."""

from __future__ import annotations

from loopwright.compare.stress.battery import Battery
from loopwright.compare.workers import run_cases
from loopwright.record import write_text
from loopwright.studio.cases import chosen_cases
from loopwright.studio.options import StressOptions
from loopwright.studio.work.task import Task


def run(task: Task) -> None:
    """Run all cases; the result holds the rows so far, in the order of the cases."""
    options = task.read_options(StressOptions)
    laid = task.lay(options.gate)
    cases = chosen_cases(laid.layout, options)

    def each(found: Battery) -> None:
        done = len(found.rows) / len(cases)
        task.step(done, f"{len(found.rows)} of {len(cases)} cases")
        task.result("stress", laid, _document(found))

    each(Battery(cases, ()))
    found = run_cases(laid.layout, cases, each=each)
    task.result("stress", laid, _document(found))
    write_text(task.path(f"{task.stem}-stress.csv"), found.csv())


def _document(found: Battery) -> dict[str, object]:
    """All cases, the rows so far, and what it comes to."""
    return found.document() | {"sentences": list(found.sentences()) if found.rows else []}
