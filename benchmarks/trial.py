"""Things that are timed again and again, each from where it stopped."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from statistics import median
from time import process_time
from typing import Protocol

from benchmarks.mixed_block import CASES, ROW, Case, block, disturbed, transfers
from benchmarks.simpy_block import Block, CarrierBlock, SteppedBlock
from loopwright.block import size_block
from loopwright.layout import place_layout
from loopwright.layout.layout import Layout
from loopwright.model import read_project
from loopwright.plan import solve_plan
from loopwright.simulate.clock import whole_ticks
from loopwright.simulate.decode import decode, decode_counters
from loopwright.simulate.encode import encode
from loopwright.simulate.fill import fill
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Scenario
from loopwright.simulate.start import empty_state_of
from loopwright.simulate.state import State
from loopwright.simulate.wiring import Wiring
from loopwright.simulate.work import run_plant

SEED = 1
CHECK_BLOCK = Path(__file__).parents[1] / "examples" / "check-block.yaml"


class Runs(Protocol):
    """Something that goes on for a while of plant time."""

    def run(self, seconds: Fraction) -> None:
        """Go on for `seconds` of plant time."""


class Plant:
    """A layout in the arrays of the engine."""

    def __init__(self, layout: Layout, start: State | None = None) -> None:
        wiring = Wiring(layout)
        if start is None:
            start = disturbed(empty_state_of(wiring), layout, SEED)
        span = Fraction(1)
        self.layout = layout
        self.plant = encode(wiring, Scenario("bench", "empty", span, Fraction(0), span), start)
        fill(self.plant, start)
        self.now = start.tick

    def run(self, seconds: Fraction) -> None:
        """Go on for `seconds` of plant time."""
        self.now += whole_ticks(seconds, self.plant.tick)
        run_plant(self.plant, self.now)

    def moved(self) -> int:
        """Transfers so far."""
        return transfers(decode_counters(self.plant))

    def state(self) -> State:
        """All that is in the plant, as the start of another run."""
        return replace(decode(self.plant, self.now), tick=0)


class Trial:
    """Times `what`, `span` [s of plant time] at once, after a warm-up of `warm` [s].

    The time of the process is taken [s], which is that of the clock on a machine with nothing else
    to do: everything here runs in one thread.
    """

    def __init__(self, what: Runs, span: Fraction, warm: Fraction) -> None:
        self.what, self.span = what, span
        self.times: list[float] = []
        what.run(warm)
        self._before = what.moved() if isinstance(what, Plant) else 0

    def round(self) -> None:
        """Time it once more."""
        began = process_time()
        self.what.run(self.span)
        self.times.append(process_time() - began)

    @property
    def speeds(self) -> list[float]:
        """Plant-seconds per second, of each round."""
        return [float(self.span) / time for time in self.times]

    @property
    def speed(self) -> float:
        """The median of these."""
        return median(self.speeds)

    def cost(self) -> float:
        """Time of a transfer [ns]."""
        assert isinstance(self.what, Plant)
        moved = (self.what.moved() - self._before) / len(self.times)
        return median(self.times) * 1e9 / moved


def times_as_fast(one: Trial, other: Trial) -> float:
    """How many times the speed of `other` that of `one` is: the median over rounds."""
    return median(a / b for a, b in zip(one.speeds, other.speeds, strict=True))


def pace(case: Case) -> Fraction:
    """How much faster belts are than in `bal`; spans are shorter by as much."""
    return case.speed / CASES["bal"].speed


def plant_trial(case: Case, stations: int) -> Trial:
    """The engine on a block; an hour of 640 stations, or as much work.

    Four times as much of larger ones: a call has its price for each part of a plant, and this
    keeps it small beside the work.
    """
    span = Fraction(3600 * 640, stations) / pace(case) / case.stretch
    if stations > 640:
        span *= 4
    return Trial(Plant(block(case, stations)), span, Fraction(300 * case.stretch) / pace(case))


def placed_trial() -> Trial:
    """The engine on the check block as it is placed, primed, its buffers disturbed."""
    project = read_project(CHECK_BLOCK)
    layout = place_layout(size_block(solve_plan(project), project), project)
    start = disturbed(primed_state(layout), layout, SEED)
    return Trial(Plant(layout, start), Fraction(900), Fraction(120))


def stepped_trial(case: Case, rows: int) -> Trial:
    """The SimPy model that steps belts, from the empty belts on, as the engine."""
    layout = block(case, rows * ROW)
    model = SteppedBlock(case, rows, disturbed(empty_state_of(Wiring(layout)), layout, SEED))
    return Trial(model, Fraction(1000, rows) / pace(case), Fraction(150) / pace(case))


def carrier_trial(case: Case, rows: int) -> Trial:
    """The SimPy model of processes for carriers, from a state to which the engine brought it."""
    case = replace(case, returns=False)
    plant = Plant(block(case, rows * ROW))
    plant.run(Fraction(300) / pace(case))
    model: Block = CarrierBlock(case, rows, plant.state())
    return Trial(model, Fraction(20, rows) / pace(case), Fraction(20, rows) / pace(case))
