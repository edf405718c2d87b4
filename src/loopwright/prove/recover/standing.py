"""Loops that stand, and in which state: where recovery begins."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from loopwright.layout.layout import Layout
from loopwright.prove.jam import outage_scenario
from loopwright.prove.ring import Ring
from loopwright.prove.rings import find_rings
from loopwright.prove.stuck import is_stuck
from loopwright.prove.verdict import Jam, Verdict
from loopwright.simulate import simulate_layout
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State

LONGER = 2
"""Where not all loops stand after the outage that stops the slowest by itself, it is so many times
as long."""


def standing_loops(layout: Layout, state: State) -> tuple[Ring, ...]:
    """The loops that stand for good in `state`."""
    return tuple(ring for ring in find_rings(layout) if is_stuck(layout, ring, state))


def jam_together(
    layout: Layout, verdicts: Sequence[Verdict]
) -> tuple[tuple[Ring, ...], State | None]:
    """All loops that jam in one of `verdicts`, standing at once at the end of one run; None where
    there are none.

    All docks of what is missing in a jam stop together, for the longest span that a loop needs.
    """
    jams = [verdict.jam for verdict in verdicts if verdict.jam is not None]
    if not jams:
        return (), None
    rings = {verdict.loop: verdict.ring for verdict in verdicts}
    found: tuple[tuple[Ring, ...], State | None] = ((), None)
    for times in (1, LONGER):
        scenario = _all_at_once(layout, [(rings[jam.loop], jam) for jam in jams], times)
        end = simulate_layout(layout, scenario).end
        stand = standing_loops(layout, end)
        if found[1] is None or len(stand) > len(found[0]):
            found = stand, end
        if len(found[0]) >= len({jam.loop for jam in jams}):
            break
    return found


def _all_at_once(layout: Layout, jams: Sequence[tuple[Ring, Jam]], times: int) -> Scenario:
    """One run with the outages of all `jams`, each `times` as long; the longest of them holds."""
    spans: dict[str, Fraction] = {}
    for _, jam in jams:
        if jam.missing is not None:
            spans[jam.missing] = max(spans.get(jam.missing, Fraction(0)), jam.span * times)
    pieces = [
        outage_scenario(layout, ring, jam.missing, spans.get(jam.missing or "", Fraction(0)))
        for ring, jam in jams
    ]
    outages = {outage.source: outage for piece in pieces for outage in piece.outages}
    for source in layout.sources:
        if source.material in spans:
            first = min(outage.start for outage in outages.values())
            outages[source.name] = Outage(source.name, first, spans[source.material])
    start = "empty" if all(jam.scenario.start == "empty" for _, jam in jams) else "primed"
    span = max(piece.span for piece in pieces)
    return Scenario("all at once", start, span, Fraction(0), span, tuple(outages.values()))
