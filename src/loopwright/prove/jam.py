"""How a loop is brought to jam, and how it fares after outages: runs of the layout itself."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from loopwright.layout.layout import Layout
from loopwright.prove.part import part_of
from loopwright.prove.ring import Ring
from loopwright.prove.stuck import is_stuck
from loopwright.prove.verdict import Jam, Recovery
from loopwright.simulate import simulate_layout
from loopwright.simulate.prime import primed_state
from loopwright.simulate.scenario import Outage, Scenario
from loopwright.simulate.state import State

LONGER = (1, 2, 4, 8)
"""Outages are tried up to so many times the time after which the law expects a jam."""

SHARPER = 6
"""Halvings by which a jam's outage is shortened."""

SLACK = Fraction(1, 100)
"""A share of full rate that is lost before a run counts as falling short."""


def find_jam(layout: Layout, ring: Ring, hint: Jam | None = None) -> Jam | None:
    """A run after which the loop stands for good, if the bounded search meets one.

    Tried are a run without any outage, then outages of each input, longer and longer. `hint` is the
    jam of a loop of the same shape: its material and span are tried first.
    """
    part = part_of(layout, ring.belts)
    if hint is not None:
        jam = _jam(layout, ring, hint.missing, hint.span, hint.scenario.start)
        if jam is not None:
            return jam
    for begin in ("primed", "empty"):
        if _end_stuck(part, ring, None, Fraction(0), begin):
            return _jam(layout, ring, None, Fraction(0), begin)
    guesses = {material: _guess(part, ring, material) for material in ring.needed}
    for times in LONGER:
        for material, guess in guesses.items():
            if _end_stuck(part, ring, material, guess * times):
                span = _shorter(part, ring, material, guess * times)
                return _jam(layout, ring, material, span)
    return None


def outage_scenario(
    layout: Layout, ring: Ring, material: str | None, span: Fraction, begin: str = "primed"
) -> Scenario:
    """All docks that bring `material` to the loop stop for `span` [s] soon after the start; the
    run goes on long enough to see what comes of it, its last part being read."""
    calm = _calm(ring)
    start = _whole(5 * _cycle(ring))
    docks = _docks(layout, ring, material)
    outages = tuple(Outage(dock, start, span) for dock in docks)
    window = _whole(40 * _cycle(ring))
    name = f"{ring.name} without {material}" if material else f"{ring.name} from {begin}"
    end = start + span + calm + window
    return Scenario(name, begin, end, end - window, window, outages)


def measure_recovery(layout: Layout, ring: Ring) -> tuple[Recovery, ...]:
    """The share of full rate at the end of runs: undisturbed from empty and from primed, and after
    an outage of each input that was long enough to use it up."""
    part = part_of(layout, ring.belts)
    runs = []
    cases: list[tuple[str | None, str]] = [(None, "empty"), (None, "primed")]
    cases += [(material, "primed") for material in ring.needed]
    for material, begin in cases:
        span = _guess(part, ring, material) if material else Fraction(0)
        scenario = outage_scenario(part, ring, material, span, begin)
        (early, _), (late, end) = _shares(part, ring, scenario)
        lasting = late <= early + SLACK
        share = max(early, late) if lasting else early
        returned = _returned(ring, end)
        runs.append(Recovery(ring.name, scenario, material, span, share, lasting, returned))
    return tuple(runs)


def _shares(part: Layout, ring: Ring, scenario: Scenario) -> Iterator[tuple[Fraction, State]]:
    """Shares of full rate in the window of the scenario, and in a window much later, each with
    the state at its end."""
    before = scenario.warm_up
    first = simulate_layout(part, _piece(scenario, before))
    full = sum((1 / d.usual for d in ring.drawers), Fraction(0)) * scenario.bin
    state = first.end
    for calm in (Fraction(0), 2 * _calm(ring)):
        if calm:
            state = simulate_layout(part, _piece(scenario, calm), start=state).end
        after = simulate_layout(part, _piece(scenario, scenario.bin), start=state).end
        done = _ended(ring, after) - _ended(ring, state)
        yield done / full, after
        state = after


def _returned(ring: Ring, state: State) -> Fraction | None:
    """What carriers on the last belt hold, of as many full ones."""
    loads = dict(ring.stacks)
    found = [cell for cell in state.belts[ring.belts[-1]] if cell is not None and cell[0] in loads]
    if not found:
        return None
    return Fraction(sum(units for _, units in found), sum(loads[name] for name, _ in found))


def _piece(scenario: Scenario, span: Fraction) -> Scenario:
    return Scenario(
        scenario.name, scenario.start, span, Fraction(0), max(span, Fraction(1)), scenario.outages
    )


def _ended(ring: Ring, state: State) -> int:
    return sum(state.counters.stations[drawer.station].ended for drawer in ring.drawers)


def _end_stuck(
    layout: Layout, ring: Ring, material: str | None, span: Fraction, begin: str = "primed"
) -> bool:
    scenario = outage_scenario(layout, ring, material, span, begin)
    return is_stuck(layout, ring, simulate_layout(layout, scenario).end)


def _shorter(part: Layout, ring: Ring, material: str, span: Fraction) -> Fraction:
    """A shorter outage that does it too."""
    low, high = Fraction(0), span
    for _ in range(SHARPER):
        middle = Fraction(ceil((low + high) / 2))
        if middle in (low, high):
            break
        if _end_stuck(part, ring, material, middle):
            high = middle
        else:
            low = middle
    return high


def _jam(
    layout: Layout, ring: Ring, material: str | None, span: Fraction, begin: str = "primed"
) -> Jam | None:
    """The jam as it comes about in the whole layout, if it does."""
    scenario = outage_scenario(layout, ring, material, span, begin)
    end = simulate_layout(layout, scenario).end
    if not is_stuck(layout, ring, end):
        return None
    cells = [cell[0] for belt in ring.belts for cell in end.belts[belt] if cell is not None]
    told = ", ".join(f"{cells.count(m)} of {m}" for m in ring.materials)
    hands = sum(
        1 for tap in ring.taps if tap.habit == "grab" and end.pickers[tap.picker].phase == "holding"
    )
    held = f"; {hands} hands hold what there is no room for" if hands else ""
    told_outage = f"{material} stops for {span} s" if material else f"undisturbed from {begin}"
    sentence = (
        f"{told_outage}: {ring.name} is left with {told} on {ring.cells} cells"
        f"{held}, and none of its {len(ring.drawers)} stations can ever start again"
    )
    return Jam(ring.name, scenario, None, material, span, sentence)


def _docks(layout: Layout, ring: Ring, material: str | None) -> list[str]:
    """The docks of `material` at the gate, or in the whole part where other ways lead in."""
    docks = {dock for feed in ring.feeds for dock in feed.docks}
    if ring.strangers or not all(feed.docks for feed in ring.feeds) or not docks:
        near = {belt.name for belt in part_of(layout, ring.belts).belts}
        docks = {source.name for source in layout.sources if source.belt in near}
    return [s.name for s in layout.sources if s.material == material and s.name in docks]


def _guess(part: Layout, ring: Ring, material: str) -> Fraction:
    """When the loop, primed, has used up `material` and filled up with the others [s].

    All of it in the system over its use at full rate, plus two turns.
    """
    state = primed_state(part)
    units = sum(
        cell[1]
        for cells in state.belts.values()
        for cell in cells
        if cell is not None and cell[0] == material
    )
    units += sum(state.stations[drawer.station].inputs.get(material, 0) for drawer in ring.drawers)
    rate = sum(
        (n.amount / d.usual for d in ring.drawers for n in d.needs if n.material == material),
        Fraction(0),
    )
    return _whole(units / rate + 2 * _turn(ring)) if rate else Fraction(1)


def _turn(ring: Ring) -> Fraction:
    return ring.cells / (ring.speed or Fraction(1))


def _cycle(ring: Ring) -> Fraction:
    return max((drawer.cycle for drawer in ring.drawers), default=Fraction(1))


def _calm(ring: Ring) -> Fraction:
    """Time to settle after an outage [s]."""
    return _whole(20 * _turn(ring) + 40 * _cycle(ring))


def _whole(span: Fraction) -> Fraction:
    return Fraction(ceil(span))
