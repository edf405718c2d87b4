"""A recovery card carried out in a run of the layout."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import ceil

from loopwright.layout.layout import Layout
from loopwright.prove.law.terms import Terms
from loopwright.prove.part import part_of
from loopwright.prove.recover.card import BY_GATE, Card, Outcome
from loopwright.prove.recover.edit import state_of_part, taken_out
from loopwright.prove.recover.purge import shares_for
from loopwright.prove.ring import Ring
from loopwright.simulate import simulate_layout
from loopwright.simulate.clock import layout_tick
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State

PATIENCE = 12
"""A stage or a return to full rate is given up after so many times the time of the law."""

CLOSE = Fraction(99, 100)
"""Share of full rate that counts as full."""


def carry_out(layout: Layout, ring: Ring, terms: Terms, card: Card, state: State) -> Outcome:
    """Do what `card` says from `state` on, in a run, and see what comes of it."""
    part = part_of(layout, ring.belts)
    if layout_tick(part) != layout_tick(layout):
        part = layout
    if card.way == BY_GATE:
        part = with_gate(part, ring, terms, card)
    floor = _Floor(part, ring, terms)
    floor.state = state_of_part(taken_out(state, (*card.purge, *card.clear), card.hands), part)
    stages = []
    for admission in card.admissions:
        span = floor.admit(dict(admission.carriers), card.predicted * PATIENCE)
        stages.append(span)
        if span > card.predicted * PATIENCE:
            break
    time = floor.come_back(card.predicted * PATIENCE)
    floor.on(floor.calm)
    share = floor.share(floor.window)
    floor.state = primed_state(part)
    floor.on(floor.calm)
    return Outcome(card, state, tuple(stages), time, share, floor.share(floor.window))


def with_gate(layout: Layout, ring: Ring, terms: Terms, card: Card) -> Layout:
    """`layout` with the gate of the loop scarcest-first, with the quotas of `card`."""
    shares = tuple(shares_for(terms).items())
    gates = tuple(
        replace(
            gate,
            rule="scarcest-first",
            shares=shares,
            pattern=(),
            quotas=card.quotas,
            window=0,
            loop=ring.belts,
        )
        if gate.name == ring.gate
        else gate
        for gate in layout.gates
    )
    return replace(layout, gates=gates)


class _Floor:
    """The part of the plant round the loop, run piece by piece; `past` [s] counts all pieces."""

    state: State

    def __init__(self, part: Layout, ring: Ring, terms: Terms) -> None:
        self.part, self.ring = part, ring
        self.tick = layout_tick(part)
        turn = terms.places / terms.speed
        cycle = ring.drawers[0].cycle
        self.speed = terms.speed
        self.look = Fraction(max(1, ceil(max(turn, 2 * cycle))))
        self.short = Fraction(max(1, ceil(turn / 8)))
        self.calm = Fraction(ceil(20 * turn + 40 * cycle))
        self.window = Fraction(ceil(40 * cycle))
        self.full = sum((1 / drawer.cycle for drawer in ring.drawers), Fraction(0))
        self.past = Fraction(0)

    def on(self, span: Fraction, held: tuple[str, ...] = ()) -> None:
        """Run for `span` [s] with the docks of the materials `held` stopped."""
        docks = {dock for feed in self.ring.feeds if feed.material in held for dock in feed.docks}
        outages = tuple(
            Outage(source.name, self.state.tick * self.tick, span + 1)
            for source in self.part.sources
            if source.name in docks
        )
        scenario = Scenario("recovery", "empty", span, Fraction(0), span, outages)
        self.state = simulate_layout(self.part, scenario, start=self.state).end
        self.past += span

    def share(self, span: Fraction) -> Fraction:
        """Run for `span` [s]; the share of full rate made in it."""
        before = self._ended()
        self.on(span)
        return (self._ended() - before) / (self.full * span)

    def admit(self, carriers: Mapping[str, int], most: Fraction) -> Fraction:
        """Let in so many carriers of each, the rest held; how long that took [s].

        At most a carrier a step passes, so no piece of the run lets in too many.
        """
        start, begun = self._passed(), self.past
        while self.past - begun <= most:
            gone = {name: count - start[name] for name, count in self._passed().items()}
            left = {name: count - gone[name] for name, count in carriers.items()}
            wanted = [name for name, count in left.items() if count > 0]
            if not wanted:
                break
            quick = Fraction(ceil(min(left[name] for name in wanted) / self.speed))
            self.on(min(self.short, quick), tuple(name for name in start if name not in wanted))
        return self.past - begun

    def come_back(self, most: Fraction) -> Fraction | None:
        """Run until a look shows full rate; the time from the first step [s], None if never."""
        begun = self.past
        while self.past - begun <= most:
            at = self.past
            if self.share(self.look) >= CLOSE:
                return at
        return None

    def _ended(self) -> int:
        stations = self.state.counters.stations
        return sum(stations[drawer.station].ended for drawer in self.ring.drawers)

    def _passed(self) -> dict[str, int]:
        assert self.ring.gate is not None
        passed = self.state.counters.joints[self.ring.gate].passed
        return {
            feed.material or "": count for feed, count in zip(self.ring.feeds, passed, strict=False)
        }
