"""What is on every cell of a run, frame by frame, as a file for other programs."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.record import Origin, digest
from loopwright.simulate import simulate_layout
from loopwright.simulate.trace import TraceWriter
from loopwright.studio.options import TraceOptions
from loopwright.studio.work.task import Task, TaskError, scenario_of

MOST_FRAMES = 100_000


def run(task: Task) -> None:
    """Run the scenario from its start and keep its frames."""
    laid, options = task.lay(), task.read_options(TraceOptions)
    span, every = options.span, options.every
    if span / every > MOST_FRAMES:
        raise TaskError(f"That is {int(span / every)} frames; at most {MOST_FRAMES}.")
    scenario = replace(scenario_of(laid, options.scenario), span=span, warm_up=Fraction(0))
    origin = Origin(digest(laid.project.document()), task.options)
    name = f"{task.stem}-{scenario.name}.trace"
    writer = TraceWriter(task.path(name), origin, every)
    show = task.part(f"simulating {scenario.name}")
    made = simulate_layout(laid.layout, scenario, progress=show, trace=writer)
    body = {"file": name, "frames": writer.frames, "every": str(every), "ended": made.ended}
    task.result("trace-made", laid, body)
