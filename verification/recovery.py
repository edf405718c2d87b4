"""Blocks whose loops all stand at once, brought back by one card; prints predicted and run times.

Run as `python -m verification.recovery > verification/recovery.txt`. Takes about three minutes.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil
from pathlib import Path

from loopwright.layout import design_project
from loopwright.layout.layout import Layout
from loopwright.model import read_project
from loopwright.prove.prove import prove_loops
from loopwright.prove.recover import Recovered, recover_loops
from loopwright.prove.recover.standing import jam_together, standing_loops
from loopwright.prove.recover.text import loops_title, recovered_text
from loopwright.prove.ring import Ring
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State

EXAMPLES = Path(__file__).parents[1] / "examples"
HEADS = (
    "block", "stopped", "loops", "cells", "stand without", "taken off each", "way",
    "predicted, s", "run, s", "run over predicted", "long after", "undisturbed",
)  # fmt: skip

Case = tuple[str, str, Layout, tuple[Ring, ...], State]


def main() -> None:
    """The table, then the card of each block in words."""
    rows, cards = [HEADS], []
    for name, stopped, layout, rings, state in _cases():
        for carriers in (None, 1):
            found = recover_loops(layout, rings, state, carriers)
            rows += _rows(name, stopped, rings, found)
            if carriers is None:
                cards.append(f"{name}, {stopped}\n\n{recovered_text(found)}")
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEADS))]
    for row in rows:
        print("  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip())
    print("\n" + "\n\n".join(cards))


def _cases() -> Iterator[Case]:
    """Every block with open gates: as the prover jams it, and with two materials away at once."""
    kits = _open("filter-kits.yaml")
    rings, state = jam_together(kits, prove_loops(kits))
    assert state is not None
    yield "filter-kits", "nothing", kits, rings, state
    check = _open("check-block.yaml")
    verdicts = prove_loops(check)
    rings, state = jam_together(check, verdicts)
    assert state is not None
    jam = next(verdict.jam for verdict in verdicts if verdict.jam is not None)
    yield "check-block", jam.missing or "nothing", check, rings, state
    state = _without(check, ("candle", "tap"), ceil(2 * jam.span))
    yield "check-block", "candle, tap", check, standing_loops(check, state), state


def _open(name: str) -> Layout:
    project = read_project(EXAMPLES / name)
    choices = project.choices.model_copy(update={"gate": "open"})
    return design_project(project.model_copy(update={"choices": choices})).layout


def _without(layout: Layout, materials: tuple[str, ...], span: int) -> State:
    """The state a minute after all docks of `materials` had been stopped for `span` [s]."""
    outages = tuple(
        Outage(source.name, Fraction(60), Fraction(span))
        for source in layout.sources
        if source.material in materials
    )
    whole = Fraction(120 + span)
    return simulate_layout(
        layout, Scenario("away", "primed", whole, Fraction(0), whole, outages)
    ).end


def _rows(
    name: str, stopped: str, rings: tuple[Ring, ...], found: tuple[Recovered, ...]
) -> Iterator[tuple[str, ...]]:
    cells = {ring.name: ring.cells for ring in rings}
    for group in found:
        for one in group.ways:
            card, time = one.card, one.time
            yield (
                name,
                stopped,
                loops_title(group.loops),
                str(cells[group.loops[0]]),
                ", ".join(card.missing),
                str(len(card.purge)),
                card.way,
                _seconds(card.predicted),
                "-" if time is None else _seconds(time),
                "-" if time is None else f"{float(time / card.predicted):.2f}",
                _percent(one.share),
                _percent(one.standard),
            )


def _seconds(span: Fraction) -> str:
    return f"{float(span):.1f}"


def _percent(share: Fraction) -> str:
    return f"{float(share) * 100:.1f} %"


if __name__ == "__main__":
    main()
