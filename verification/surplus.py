"""How much more than is used a row has to be offered, so that its last stations get their share.

Run as `python -m verification.surplus > verification/surplus.txt`. Takes some minutes.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from multiprocessing import get_context

from loopwright.block.sequence import level_sequence
from loopwright.layout.layout import Layout
from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import Arrivals, Disturbances, Law, Missed, Pace
from loopwright.simulate.scenario import Scenario
from tests.layouts.build import Build

STATIONS, PITCH = 32, 3
RECIPE = {"A": 2, "B": 1, "C": 1}
BATCH = sum(RECIPE.values())
SURPLUS = tuple(Fraction(percent, 100) for percent in (0, 2, 5, 10, 20, 40))
MISSED = SPREAD = Fraction(3, 10)
SEEDS = (1, 2, 3)
WARM, SEEN = 60, 1000
LAST = STATIONS // 8
FILL = Fraction(98, 100)
"""Of a lane that is fed by chance: what arrives, over what it could carry."""


@dataclass(frozen=True)
class Kind:
    """A row: on a pass or a loop, fed by pattern or chance, of carriers of `stack` units taken by
    the unit or whole, with buffers of `batches` cycles."""

    way: str
    feed: str
    stack: int
    picks: str
    batches: int

    @property
    def caps(self) -> dict[str, int]:
        """Units that stations hold; for whole carriers enough that none is ever left for good."""
        least = {name: self.batches * count for name, count in RECIPE.items()}
        if self.picks == "units":
            return least
        return {name: max(cap, RECIPE[name] + self.stack) for name, cap in least.items()}

    def cycle(self, surplus: Fraction) -> Fraction:
        """In quarters of a step, so that the surplus is at least what is asked for."""
        comes = FILL if self.feed == "chance" else Fraction(1)
        return Fraction(ceil(4 * BATCH * STATIONS * (1 + surplus) / (self.stack * comes)), 4)


def kinds() -> Iterator[Kind]:
    """All rows of the table."""
    for batches in (2, 4):
        for stack in (1, 2, 4):
            for picks in ("units", "whole") if stack > 1 else ("units",):
                yield Kind("pass", "pattern", stack, picks, batches)
                yield Kind("pass", "chance", stack, picks, batches)
                yield Kind("loop", "windowed", stack, picks, batches)


def row(kind: Kind, surplus: Fraction) -> Layout:
    """One row of the kind, a step a second."""
    lane = STATIONS * PITCH + 1
    build = Build([*RECIPE, "P"], stack=kind.stack)
    build.belt("lane", lane)
    inlets = {name: build.belt(f"supply {name}", 4, role="supply") for name in RECIPE}
    for name, count in RECIPE.items():
        rate = FILL * count / BATCH if kind.feed == "chance" else None
        build.source(inlets[name], name, rate, kind.stack)
    if kind.way == "loop":
        back = build.belt("return", lane, role="return")
        build.merge(["lane"], back, "priority")
        places = 2 * lane - 1
        quotas = {name: places * count // BATCH for name, count in RECIPE.items()}
        build.gate(
            list(inlets.values()), "lane", "windowed", main=back, quotas=quotas,
            window=places + 1, loop=["lane", back],
        )  # fmt: skip
    else:
        names = list(RECIPE)
        order = level_sequence(list(RECIPE.values()))
        pattern = [inlets[names[n]] for n in order] if kind.feed == "pattern" else []
        rule = "ratio-locked" if pattern else "open"
        build.gate(list(inlets.values()), "lane", rule, pattern=pattern)
        build.drain("lane")
    build.belt("out", lane, role="output")
    build.drain("out")
    takes, hand = ("carriers", kind.stack) if kind.picks == "whole" else ("units", 1)
    for number in range(1, STATIONS + 1):
        place = (number - 1) * PITCH + 1
        station = build.station(
            f"station {number}", kind.cycle(surplus), RECIPE, {"P": 1}, kind.caps
        )
        build.picker(f"in {number}", ("lane", place), station, hand=hand, takes=takes)
        build.picker(f"off {number}", station, ("out", place))
    return build.layout()


def share(task: tuple[Kind, Fraction, int]) -> Fraction:
    """Busy share of the last eighth of the stations."""
    kind, surplus, seed = task
    layout, cycle = row(kind, surplus), kind.cycle(surplus)
    told = Disturbances(
        paces=tuple(Pace(one.name, Law("uniform", SPREAD)) for one in layout.stations),
        missed=tuple(Missed(one.name, MISSED) for one in layout.pickers),
        arrivals=tuple(
            Arrivals(one.name, Law("exponential"), None)
            for one in layout.sources
            if kind.feed == "chance"
        ),
    )
    ended = []
    for cycles in (WARM, WARM + SEEN):
        span = Fraction(ceil(cycles * cycle))
        scenario = Scenario("row", "primed", span, Fraction(0), span, seed=seed, disturbances=told)
        counts = simulate_layout(layout, scenario).end.counters.stations
        names = [f"station {n}" for n in range(STATIONS - LAST + 1, STATIONS + 1)]
        ended.append((sum(counts[name].ended for name in names), span))
    (before, begin), (after, end) = ended
    return (after - before) * cycle / ((end - begin) * LAST)


def sure(batches: int) -> str:
    """The surplus with which no station can ever wait: (b + 1) / (b - 1), see the page on laws."""
    return f"{float(Fraction(batches + 1, batches - 1)):.0%}"


def main() -> None:
    """The table."""
    print(
        f"{STATIONS} stations in a row, recipe 2:1:1; {MISSED} of picks missed, cycles +-{SPREAD}; "
        f"{WARM} cycles from primed, then {SEEN} seen; {len(SEEDS)} seeds.\n"
        f"Busy share of the last {LAST} stations by surplus; the surplus from which they lose less "
        "than 1 %; the sure bound of the page on laws; "
        "and by how much seeds differ at most."
    )
    heads = ("way", "fed by", "stack", "picks", "cycles held")
    columns = (*(f"{float(s):.0%}" for s in SURPLUS), "needed", "sure", "seeds differ")
    _print((*heads, *columns), _rows())


def _rows() -> Iterable[tuple[str, ...]]:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        for kind in kinds():
            tasks = [(kind, surplus, seed) for surplus in SURPLUS for seed in SEEDS]
            found = list(pool.map(share, tasks))
            groups = [found[n : n + len(SEEDS)] for n in range(0, len(found), len(SEEDS))]
            means = [sum(group, Fraction(0)) / len(group) for group in groups]
            differ = max(max(group) - min(group) for group in groups)
            short = [s for s, m in zip(SURPLUS, means, strict=True) if m < Fraction(99, 100)]
            enough = [s for s in SURPLUS if not short or s > short[-1]]
            print(kind, file=sys.stderr, flush=True)
            yield (
                kind.way, kind.feed, str(kind.stack), kind.picks, str(kind.batches),
                *(f"{float(mean):.3f}" for mean in means),
                f"{float(enough[0]):.0%}" if enough else "more", sure(kind.batches),
                f"{float(differ):.3f}",
            )  # fmt: skip


def _print(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    lines = [heads, *rows]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heads))]
    for line in lines:
        print("  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip())


if __name__ == "__main__":
    main()
