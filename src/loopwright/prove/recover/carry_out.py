"""Recovery cards carried out in a run of the layout: of one loop, or of many at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from loopwright.layout.layout import Layout
from loopwright.prove.law.terms import Terms
from loopwright.prove.part import part_of
from loopwright.prove.recover.card import BY_GATE, CLOSE, Card, Outcome, goal_of
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


@dataclass(frozen=True, slots=True)
class Order:
    """The `card` of `ring`, which is to be carried out."""

    ring: Ring
    terms: Terms
    card: Card


def carry_out(layout: Layout, orders: Sequence[Order], state: State) -> tuple[Outcome, ...]:
    """Do what all cards say from `state` on, side by side in one run, and see what comes of each.

    Every loop goes through its own stages, as its own gate lets carriers pass.
    """
    if not orders:
        return ()
    part = part_of(layout, [belt for order in orders for belt in order.ring.belts])
    if layout_tick(part) != layout_tick(layout):
        part = layout
    for order in orders:
        if order.card.way == BY_GATE:
            part = with_gate(part, order)
    for order in orders:
        card = order.card
        state = taken_out(state, (*card.purge, *card.clear), card.hands)
    plant = _Plant(part, state_of_part(state, part))
    loops = [_Loop(order, plant) for order in orders]
    jam = plant.state
    plant.state = primed_state(part)
    standards = _last_shares(plant, loops)
    plant.state, plant.past = jam, Fraction(0)
    for loop, standard in zip(loops, standards, strict=True):
        loop.goal = goal_of(standard)
    while not all(loop.done for loop in loops):
        plant.on(min(loop.piece(plant) for loop in loops if not loop.done), _held(loops, plant))
        for loop in loops:
            loop.look(plant)
    shares = _last_shares(plant, loops)
    return tuple(
        Outcome(loop.card, tuple(loop.stages), loop.time, share, standard)
        for loop, share, standard in zip(loops, shares, standards, strict=True)
    )


def with_gate(layout: Layout, order: Order) -> Layout:
    """`layout` with the gate of the loop scarcest-first, with the quotas of its card."""
    shares = tuple(shares_for(order.terms).items())
    gates = tuple(
        replace(
            gate,
            rule="scarcest-first",
            shares=shares,
            pattern=(),
            quotas=order.card.quotas,
            window=0,
            loop=order.ring.belts,
        )
        if gate.name == order.ring.gate
        else gate
        for gate in layout.gates
    )
    return replace(layout, gates=gates)


class _Plant:
    """The plant round the loops, run piece by piece; `past` [s] counts all pieces."""

    def __init__(self, part: Layout, state: State) -> None:
        self.part, self.state = part, state
        self.tick = layout_tick(part)
        self.past = Fraction(0)

    def on(self, span: Fraction, held: frozenset[str] = frozenset()) -> None:
        """Run for `span` [s] with the docks `held` stopped."""
        now = self.state.tick * self.tick
        docks = [source.name for source in self.part.sources if source.name in held]
        outages = tuple(Outage(dock, now, span + 1) for dock in docks)
        scenario = Scenario("recovery", "empty", span, Fraction(0), span, outages)
        self.state = simulate_layout(self.part, scenario, start=self.state).end
        self.past += span


def _held(loops: Sequence[_Loop], plant: _Plant) -> frozenset[str]:
    return frozenset(dock for loop in loops for dock in loop.held(plant))


def _last_shares(plant: _Plant, loops: Sequence[_Loop]) -> list[Fraction]:
    """Shares of full rate of all loops, when everything has settled."""
    plant.on(max(loop.calm for loop in loops))
    window = max(loop.window for loop in loops)
    before = [loop.ended(plant) for loop in loops]
    plant.on(window)
    return [
        (loop.ended(plant) - start) / (loop.full * window)
        for loop, start in zip(loops, before, strict=True)
    ]


class _Loop:
    """One loop on its way back: stages of letting in, then looks until full rate is seen."""

    def __init__(self, order: Order, plant: _Plant) -> None:
        self.card, self.ring, self.speed = order.card, order.ring, order.terms.speed
        cycle = self.ring.drawers[0].cycle
        turn = order.terms.places / self.speed
        self.width = Fraction(max(1, ceil(max(turn, 2 * cycle))))
        self.short = Fraction(max(1, ceil(turn / 8)))
        self.calm = Fraction(ceil(20 * turn + 40 * cycle))
        self.window = Fraction(ceil(40 * cycle))
        self.full = sum((1 / drawer.usual for drawer in self.ring.drawers), Fraction(0))
        self.most = self.card.predicted * PATIENCE
        self.ahead = list(self.card.admissions)
        self.stages: list[Fraction] = []
        self.time: Fraction | None = None
        self.goal = CLOSE
        self.done = False
        self.free = plant.past
        self._begin(plant)

    def _begin(self, plant: _Plant) -> None:
        """A stage, or a look, begins now."""
        self.begun, self.made = plant.past, self.ended(plant)
        self.start = self._passed(plant)

    def piece(self, plant: _Plant) -> Fraction:
        """How long [s] the run may go on without letting in too much, as at most a carrier a step
        passes; or until the look is over."""
        if not self.ahead:
            return self.begun + self.width - plant.past
        quick = ceil(min(self._left(plant).values(), default=1) / self.speed)
        return min(self.short, Fraction(quick))

    def held(self, plant: _Plant) -> set[str]:
        """Docks that are stopped in this stage."""
        if not self.ahead:
            return set()
        wanted = self._left(plant)
        return {d for feed in self.ring.feeds if feed.material not in wanted for d in feed.docks}

    def look(self, plant: _Plant) -> None:
        """What the run has brought: the next stage, or full rate; given up where it takes long."""
        spent = plant.past - self.begun
        if self.ahead:
            late = spent > self.most
            if late or not self._left(plant):
                self.stages.append(spent)
                self.ahead = [] if late else self.ahead[1:]
                self.free = plant.past
                self._begin(plant)
        elif not self.done and spent >= self.width:
            if self.ended(plant) - self.made >= self.goal * self.full * spent:
                self.time, self.done = self.begun, True
            else:
                self.done = plant.past - self.free > self.most
            self._begin(plant)

    def ended(self, plant: _Plant) -> int:
        """Cycles that the stations of the loop have ended."""
        stations = plant.state.counters.stations
        return sum(stations[drawer.station].ended for drawer in self.ring.drawers)

    def _left(self, plant: _Plant) -> dict[str, int]:
        """Carriers that the stage still lets in."""
        passed = self._passed(plant)
        stage = self.ahead[0].carriers
        left = {name: count - (passed[name] - self.start[name]) for name, count in stage}
        return {name: count for name, count in left.items() if count > 0}

    def _passed(self, plant: _Plant) -> Mapping[str, int]:
        assert self.ring.gate is not None
        passed = plant.state.counters.joints[self.ring.gate].passed
        feeds = zip(self.ring.feeds, passed, strict=False)
        return {feed.material or "": count for feed, count in feeds}
