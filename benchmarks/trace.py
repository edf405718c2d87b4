"""Size of a trace and the time to take it: ten minutes of 640 stations, a frame every 0.1 s."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from benchmarks.mixed_block import CASES, block, disturbed
from loopwright.record import Origin
from loopwright.simulate import simulate_layout
from loopwright.simulate.clock import whole_ticks
from loopwright.simulate.encode import encode
from loopwright.simulate.fill import fill
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.start import empty_state
from loopwright.simulate.trace import Trace, TraceWriter
from loopwright.simulate.wiring import Wiring
from loopwright.simulate.work import run_plant

SPAN = Fraction(600)
GOAL_BYTES, GOAL_SECONDS = 2_000_000, 0.3


def run(repeats: int = 5) -> Iterator[str]:
    """Take traces and read them; the engine has run 300 s before."""
    layout = block(CASES["bal"], 640)
    warm = Scenario("warm", "empty", Fraction(300), Fraction(0), Fraction(300))
    start = simulate_layout(layout, warm, start=disturbed(empty_state(layout), layout, 1)).end
    scenario = Scenario("traced", "empty", SPAN, Fraction(0), SPAN)
    wiring = Wiring(layout)
    plain, traced = [], []
    with TemporaryDirectory() as folder:
        path = Path(folder) / "cells.trace"
        for turn in range(repeats + 1):  # the first turn loads or compiles
            plant = encode(wiring, scenario, start)
            until = start.tick + whole_ticks(SPAN, plant.tick)
            fill(plant, start)
            began = perf_counter()
            run_plant(plant, until)
            plain.append(perf_counter() - began)
            fresh = encode(wiring, scenario, start)
            fill(fresh, start)
            writer = TraceWriter(path, Origin("benchmark"))
            began = perf_counter()
            writer.begin(fresh, start.tick)
            writer.advance(until)
            writer.close()
            traced.append(perf_counter() - began)
            if not turn:
                plain.clear()
                yield f"first trace, with loading or compiling: {traced.pop():.2f} s"
        size = path.stat().st_size
        with Trace.open(path) as trace:
            raw = len(trace) * trace.form.frame_bytes
            began = perf_counter()
            for second in range(0, int(SPAN), 60):
                trace.frame(second)
            seek = (perf_counter() - began) / (SPAN / 60)
            yield f"{len(trace)} frames of {trace.form.cells} cells, {raw / 1e6:.1f} MB as they are"
    yield f"{size / 1e6:.2f} MB written (goal {GOAL_BYTES / 1e6:.0f} MB)"
    yield (
        f"{median(traced):.3f} s with trace, {median(plain):.3f} s without (goal "
        f"{GOAL_SECONDS} s; medians of {repeats})"
    )
    yield f"{float(seek) * 1e3:.1f} ms to find and unpack a frame"


if __name__ == "__main__":
    for line in run():
        print(line)
