"""Changes that may make every loop of a design safe, the best first, each with what asks for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from loopwright.compare.change import Change, Edit, changed
from loopwright.compare.remedies.asked import (
    Bench,
    Candidate,
    asked_buffers,
    asked_docks,
    asked_equal_caps,
    asked_hand,
    asked_quotas,
    asked_rows,
    asked_speed,
    asked_units,
    asked_whole,
    bench_of,
)
from loopwright.compare.remedies.collected import asked_collector, asked_drain
from loopwright.finding import DesignError
from loopwright.model import Project
from loopwright.prove.law.window import common_windows
from loopwright.prove.reason import others
from loopwright.prove.ring import Ring
from loopwright.prove.sidings import most_on
from loopwright.simulate.reading.text import percent

BEST_GATE = "windowed"
"""The gate for which both is proved; what other laws ask for is read off loops with it."""

LEVELS = (
    "gate (theorems quota and level): the scarcest input goes first, so the mix is levelled after "
    "an outage"
)

Ask = Callable[[Bench], Iterator[Candidate]]

TOGETHER: tuple[Ask, ...] = (asked_quotas, asked_buffers, asked_hand, asked_docks)
"""What loops with that gate may still ask for, in the order of preference; all may be needed."""

INSTEAD: tuple[Ask, ...] = (asked_units, asked_speed, asked_rows)
"""What may do in place of these."""


def candidates_of(here: Bench) -> tuple[Candidate, ...]:
    """Changes that may help a project, in the order of preference; none twice, none without use.

    Pickers that take ahead go first, for nothing else helps then; what the loops ask for as they
    are; the gate; with the best gate what else is asked for, one by one and all together; what a
    pass asks for; and the plain design, which has no loops.
    """
    return tuple(_once(here.project, _candidates(here)))


def _candidates(here: Bench) -> Iterator[Candidate]:
    project = here.project
    habit = tuple(_habit(here))
    base = _sum(habit)
    yield from habit
    yield from _after(base, (*asked_quotas(here), *asked_equal_caps(here)))
    mixing = _mixing(here)
    gates = {rule: _gate(here, mixing, rule) for rule in (BEST_GATE, "scarcest-first")}
    there = _bench(changed(project, base + gates[BEST_GATE]))
    yield Candidate(base + gates[BEST_GATE], _both(there))
    rest = Candidate(base + gates["scarcest-first"], LEVELS)
    if there is None:
        yield rest
    else:
        best = base + gates[BEST_GATE]
        asked = [one for ask in TOGETHER for one in ask(there)]
        yield from _after(best, asked)
        if len(asked) > 1:
            yield from _after(best, (_together(asked),))
        yield from _after(best, (one for ask in INSTEAD for one in ask(there)))
        yield rest
    sorting = base + _gate(here, mixing, "sorted")
    sidings = _bench(changed(project, sorting))
    yield Candidate(sorting, _sorts(sidings))
    yield from _after(sorting, asked_whole(sidings) if sidings is not None else ())
    for before in (_looped(here), mixing):  # behind the mixer, where there is one, or without it
        yield Candidate(base + _gate(here, before, "drained"), _drains(here))
    yield from _after(base, (*asked_drain(here), *asked_collector(here)))
    yield Candidate(
        Change((Edit(("choices", "architecture"), "plain"),)),
        "plain: a belt and a picker for each material; nothing comes back, so nothing jams",
    )


def _bench(project: Project) -> Bench | None:
    try:
        return bench_of(project)
    except DesignError:
        return None


def _once(project: Project, candidates: Iterable[Candidate]) -> Iterator[Candidate]:
    """Those that change something, and not as one before does, without edits that do not."""
    seen = [project]
    for candidate in candidates:
        edits, after = [], project
        for edit in candidate.change.edits:
            before, after = after, changed(after, Change((edit,)))
            if after != before:
                edits.append(edit)
        if after not in seen:
            seen.append(after)
            yield replace(candidate, change=Change(tuple(edits)))


def _after(base: Change, candidates: Iterable[Candidate]) -> Iterator[Candidate]:
    for candidate in candidates:
        yield Candidate(base + candidate.change, candidate.why)


def _sum(candidates: Iterable[Candidate]) -> Change:
    return sum((one.change for one in candidates), Change())


def _together(candidates: Iterable[Candidate]) -> Candidate:
    found = tuple(candidates)
    return Candidate(_sum(found), "all of these: " + "; ".join(one.why for one in found))


def _habit(here: Bench) -> Iterator[Candidate]:
    """Theorem hands: pickers at mixed lanes take only what there is room for."""
    pickers, block = here.project.equipment.pickers, here.block
    kind = pickers[block.picker]
    if kind.habit == "commit" or block.architecture == "plain":
        return
    fitting = [
        name
        for name, other in pickers.items()
        if other.habit == "commit" and other.reach >= kind.reach
    ]
    edit = Edit(("equipment", "pickers", block.picker, "habit"), "commit")
    if fitting:
        best = min(fitting, key=lambda name: (pickers[name].swing, pickers[name].effort, name))
        edit = Edit(("choices", "picker"), best)
    station = here.layout.stations[0]
    name, cap = station.caps[0]
    yield Candidate(
        Change((edit,)),
        f"hands (theorem hands): with {cap} of {name} at a station and one more in its hand it "
        "waits for ever for what is late, whatever the gate does; commit takes no more than there "
        "is room for",
    )


def _looped(here: Bench) -> Change:
    """The architecture of a pass has no gates that admit."""
    looped = here.block.architecture == "loop"
    return Change(() if looped else (Edit(("choices", "architecture"), "loop"),))


def _mixing(here: Bench) -> Change:
    """What has to be changed so that a gate can look at each input: the architecture of a pass, a
    mixer before the gate."""
    mixed = here.project.choices.mix == "mixer"
    return _looped(here) + Change((Edit(("choices", "mix"), "gate"),) if mixed else ())


def _gate(here: Bench, mixing: Change, rule: str) -> Change:
    return mixing + Change((Edit(("choices", "gate"), rule),))


def _both(there: Bench | None) -> str:
    """What theorem quota and theorem flow give with a windowed gate."""
    told = [_lets_in(rings[0]) for rings in there.sections.values()] if there is not None else []
    return "gate (theorems quota and flow): " + (
        "; ".join(told) or "it counts what has passed in a turn, and lets none too many in"
    )


def _lets_in(ring: Ring) -> str:
    shut = max(ring.needed, key=lambda name: sum(others(ring, name)))
    windows = common_windows([ring]) or {}
    quotas = ", ".join(
        f"{name} {quota} of {windows[name].least} to {windows[name].most}"
        for name, quota in ring.quotas
        if name in windows
    )
    told = f"; carriers let in, and what will do: {quotas}" if quotas else ""
    held, most = sum(others(ring, shut)), ring.cells - 2
    return (
        f"all others of {shut} hold at most {held} <= {most} = {ring.cells} - 2 cells, so it "
        f"always comes in again{told}"
    )


def _sorts(there: Bench | None) -> str:
    """What theorem siding says of the sidings as they are placed."""
    rings = there.rings if there is not None else ()
    pure = [ring for ring in rings if all(feed.material is not None for feed in ring.feeds)]
    sidings = [(ring, one) for ring in pure if ring.sorting for one in ring.sorting.sidings]
    told = "leftovers wait on a siding for each input and go before fresh supply"
    if sidings:
        ring, longest = max(sidings, key=lambda pair: most_on(*pair))
        told += (
            f"; {longest.belt} holds at most {most_on(ring, longest)} of {longest.cells} cells, so "
            "it is never full"
        )
    return f"gate (theorems siding and refill): {told}"


def _drains(here: Bench) -> str:
    """Theorem share: what comes back may have what the row leaves free."""
    spare = 1 - Fraction(here.block.design.row) / here.block.capacity
    return (
        "gate (theorems drain and share): what comes back gets a share of the places, at most the "
        f"{percent(spare)} that a row leaves free, and the rest is drained"
    )
