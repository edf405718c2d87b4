"""How full sidings get, and how long they have to be, beside the laws and the proof.

Run as `python -m verification.sidings > verification/sidings.txt`. Takes some minutes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil

from loopwright.layout.layout import Layout
from loopwright.prove.finder import find_recovery, find_safety
from loopwright.prove.jam import find_jam, measure_recovery
from loopwright.prove.law.siding import (
    load_on,
    passing_least,
    passing_peak,
    shares_of,
    under_way,
)
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.prove.sidings import least_cells
from loopwright.simulate import simulate_layout
from loopwright.simulate.disturbance import BrownOut, Disturbances
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State
from tests.prove.loops import sorted_loop

PIECE = Fraction(3)
"""Sidings are looked at every so many seconds; belts make a step in one."""


def main() -> None:
    """All tables."""
    print("Open gate, long outage of A: carriers on the siding of B at most")
    _print(
        ("recipe", "N", "L", "load", "siding", "law", "run"),
        (_passing(*case) for case in PASSING),
    )
    print("\nOpen gate: the shortest siding with which no outage of A jams the row")
    _print(
        ("inputs", "L", "to the first station", "law", "run: jams with", "does not with"),
        (_shortest(*case) for case in SHORTEST),
    )
    print("\nGate that waits (sorted), sidings as short as the proof allows: carriers on them")
    _print(
        (
            "pattern",
            "N",
            "L",
            "load",
            "of",
            "least siding",
            "at work, law",
            "run, mean",
            "most",
            "stations stand, law",
            "run, mean",
            "most",
        ),
        (line for case in WAITING for line in _waiting(*case)),
    )
    print("\nThe same, full rate at the end of runs (from empty, primed, after outages of each)")
    _print(
        ("pattern", "stack", "picks", "load", "returns to full rate", "least", "most"),
        (_rate(*case) for case in RATES),
    )


PASSING = (
    ("ABC", 12, 72, Fraction(9, 10)),
    ("ABC", 16, 128, Fraction(1, 2)),
    ("ABC", 24, 192, Fraction(7, 10)),
    ("ABCD", 12, 96, Fraction(9, 10)),
    ("ABCD", 20, 120, Fraction(6, 10)),
)
SHORTEST = (("ABC", 60, 18), ("ABC", 90, 48), ("ABC", 120, 96), ("ABCD", 80, 60), ("AB", 40, 20))
WAITING = (
    ("AB", 12, 72, Fraction(9, 10)),
    ("AB", 12, 72, Fraction(1, 2)),
    ("ABC", 16, 96, Fraction(8, 10)),
    ("CACBCA", 15, 90, Fraction(9, 10)),
    ("AAB", 12, 72, Fraction(7, 10)),
    ("AAAB", 10, 60, Fraction(9, 10)),
    ("ABCD", 16, 112, Fraction(9, 10)),
)
RATES = tuple(
    (pattern, stack, takes, load)
    for pattern in ("AB", "CACBCA")
    for stack, takes in ((1, "units"), (2, "units"), (4, "units"), (8, "units"), (4, "carriers"))
    for load in (Fraction(7, 10), Fraction(9, 10), Fraction(1))
)


def _row(
    pattern: str, stations: int, lane: int, load: Fraction, siding: int | None, rule: str
) -> Layout:
    """A row with evenly spaced stations and recipe in the ratio of `pattern`; `siding` None: as
    long as the proof asks for."""
    kinds = sorted(set(pattern))
    needs = {kind: pattern.count(kind) for kind in kinds}
    cycle = Fraction(stations * len(pattern)) / load

    def build(lengths: dict[str, int]) -> Layout:
        return sorted_loop(
            pattern,
            lane=lane,
            siding=lengths,
            feed=2,
            needs=needs,
            caps={kind: 3 * count for kind, count in needs.items()},
            at=[lane * number // stations for number in range(1, stations)] + [lane - 1],
            cycle=cycle,
            rule=rule,
        )

    if siding is not None:
        return build(dict.fromkeys(kinds, siding))
    ring = find_rings(build(dict.fromkeys(kinds, 4 * lane)))[0]
    assert ring.sorting is not None
    least = [least_cells(ring, one) or 0 for one in ring.sorting.sidings]
    return build(dict(zip(kinds, least, strict=True)))


def _peaks(layout: Layout, ring: Ring, missing: str) -> dict[str, int]:
    """The most carriers seen on each siding, from the begin of an outage that uses up all of
    `missing` on, and from its end on, each time until all on the row has come round."""
    assert ring.sorting is not None
    round_trip = max(one.row + one.cells for one in ring.sorting.sidings)
    begin, span = Fraction(6 * round_trip), Fraction(8 * round_trip) + 10 * ring.drawers[0].cycle
    outages = (Outage(f"supply {missing} source", begin, span),)
    most = {one.belt: 0 for one in ring.sorting.sidings}
    state = None
    for calm in (begin, span - 2 * round_trip):
        state = _run(layout, calm, outages, state)
        for _ in range(ceil(2 * round_trip / PIECE)):
            state = _run(layout, PIECE, outages, state)
            for belt in most:
                held = sum(cell is not None for cell in state.belts[belt])
                most[belt] = max(most[belt], held)
    return most


def _run(
    layout: Layout,
    span: Fraction,
    outages: tuple[Outage, ...],
    state: State | None,
    disturbances: Disturbances | None = None,
) -> State:
    piece = Scenario(
        "piece", "primed", span, Fraction(0), span, outages,
        disturbances=disturbances or Disturbances(),
    )  # fmt: skip
    return simulate_layout(layout, piece, start=state).end


def _held(layout: Layout, ring: Ring, speed: Fraction) -> dict[str, tuple[Fraction, int]]:
    """Mean and most carriers on each siding in the long run, cycles taking 1 / `speed` of their
    time."""
    assert ring.sorting is not None
    round_trip = max(one.row + one.cells for one in ring.sorting.sidings)
    slow = Disturbances(brown_outs=(BrownOut(Fraction(0), Fraction(10**9), speed),))
    state = _run(layout, Fraction(8 * round_trip) + 10 * ring.drawers[0].cycle, (), None, slow)
    seen: dict[str, list[int]] = {one.belt: [] for one in ring.sorting.sidings}
    for _ in range(ceil(2 * round_trip / PIECE)):
        state = _run(layout, PIECE, (), state, slow)
        for belt, counts in seen.items():
            counts.append(sum(cell is not None for cell in state.belts[belt]))
    return {
        belt: (Fraction(sum(counts), len(counts)), max(counts)) for belt, counts in seen.items()
    }


def _passing(pattern: str, stations: int, lane: int, load: Fraction) -> tuple[str, ...]:
    siding = 2 * lane
    layout = _row(pattern, stations, lane, load, siding, "open")
    ring = find_rings(layout)[0]
    assert ring.sorting is not None
    kinds = len(pattern)
    one = ring.sorting.sidings[1]
    law = passing_peak(one.row, siding, Fraction(1, kinds), Fraction(1, kinds - 1))
    run = _peaks(layout, ring, "A")["siding B"]
    return (
        ":".join("1" * kinds), str(stations), str(lane), f"{float(load_on(ring)):.2f}",
        str(siding), f"{float(law):.1f}", str(run),
    )  # fmt: skip


def _shortest(pattern: str, lane: int, first: int) -> tuple[str, ...]:
    """By halving; stations stand from the cell `first` to the end of the lane."""
    kinds = sorted(pattern)

    def jams(siding: int) -> bool:
        layout = sorted_loop(
            pattern,
            lane=lane,
            siding=siding,
            feed=2,
            needs=dict.fromkeys(kinds, 1),
            caps=dict.fromkeys(kinds, 2),
            at=[first, (first + lane) // 2, lane - 1],
            cycle=4 * len(kinds),
            rule="open",
        )
        ring = find_rings(layout)[0]
        jam = find_jam(layout, ring)
        return jam is not None

    law = passing_least(first, Fraction(1, len(kinds)), Fraction(1, max(1, len(kinds) - 1)))
    low, high = 2, 4 * lane
    if jams(high):
        return str(len(kinds)), str(lane), str(first), "none", str(high), "-"
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if jams(middle) else (low, middle)
    told = "none" if law is None else f"{float(law):.1f}"
    return str(len(kinds)), str(lane), str(first), told, str(low), str(high)


def _waiting(pattern: str, stations: int, lane: int, load: Fraction) -> Iterable[tuple[str, ...]]:
    layout = _row(pattern, stations, lane, load, None, "ratio-locked")
    ring = find_rings(layout)[0]
    assert ring.sorting is not None
    assert not isinstance(find_safety(ring), tuple)
    runs = [_held(layout, ring, Fraction(1)), _held(layout, ring, Fraction(1, 10**6))]
    shares, used = shares_of(ring), load_on(ring)
    for one, material in zip(ring.sorting.sidings, ring.materials, strict=True):
        told = [pattern, str(stations), str(lane), f"{float(used):.2f}", material, str(one.cells)]
        for held, part in zip(runs, (used, Fraction(0)), strict=True):
            mean, most = held[one.belt]
            law = under_way(one.cells, shares[material], part)
            told += [f"{float(law):.1f}", f"{float(mean):.1f}", str(most)]
        yield tuple(told)


def _rate(pattern: str, stack: int, takes: str, load: Fraction) -> tuple[str, ...]:
    kinds = sorted(set(pattern))
    needs = {kind: stack * pattern.count(kind) for kind in kinds}
    stations = 12
    layout = sorted_loop(
        pattern,
        lane=72,
        siding=160,
        feed=2,
        needs=needs,
        caps={kind: 3 * count + stack for kind, count in needs.items()},
        load=stack,
        at=[6 * number + 5 for number in range(stations)],
        cycle=Fraction(stations * len(pattern)) / load,
        takes=takes,
        hand=stack if takes == "carriers" else 1,
    )
    ring = find_rings(layout)[0]
    shares = [float(run.share) for run in measure_recovery(layout, ring)]
    proved = "proved" if not isinstance(find_recovery(ring), tuple) else "not proved"
    return (
        pattern, str(stack), takes, f"{float(load):.2f}", proved, f"{min(shares):.3f}",
        f"{max(shares):.3f}",
    )  # fmt: skip


def _print(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    lines = [list(heads), *(list(row) for row in rows)]
    widths = [max(len(line[place]) for line in lines) for place in range(len(heads))]
    for line in lines:
        cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        print("  ".join(cells).rstrip(), flush=True)


if __name__ == "__main__":
    main()
