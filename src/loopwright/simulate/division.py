"""Division of a layout into parts that do not touch each other, and the materials on its belts."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from loopwright.layout.layout import Applicator, Divert, Gate
from loopwright.simulate.disturbance import Foreign
from loopwright.simulate.kind import Kind, units_by_kind
from loopwright.simulate.limit import MOST_KINDS
from loopwright.simulate.order import belt_order
from loopwright.simulate.palette import Pass, narrow_palettes
from loopwright.simulate.state import State
from loopwright.simulate.wiring import Wiring, inlets_of

LEAST = 500
"""Cells of a part of a layout, where a station or store counts as 10."""


@dataclass(frozen=True, slots=True)
class Members:
    """The names of what is in one part, each kind in the order of its numbers.

    `palettes` are the kinds that may come onto the belts of each group of belts that hand carriers
    to each other, or onto single belts where these are too many; `palette` is that of each belt.
    `breaks` are the belts at which rings are broken. `kinds` are all kinds of the part, in the
    order of materials, then marks.
    """

    belts: tuple[str, ...]
    belt_order: tuple[int, ...]
    breaks: tuple[str, ...]
    palette: tuple[int, ...]
    palettes: tuple[tuple[Kind, ...], ...]
    kinds: tuple[Kind, ...]
    sources: tuple[str, ...]
    drains: tuple[str, ...]
    joints: tuple[str, ...]
    flanks: tuple[str, ...]
    diverts: tuple[str, ...]
    stations: tuple[str, ...]
    stores: tuple[str, ...]
    pickers: tuple[str, ...]
    applicators: tuple[str, ...]

    @property
    def attended(self) -> tuple[str, ...]:
        """What the engine numbers as stations: stations, and behind them the applicators."""
        return self.stations + self.applicators


class _Union:
    """Disjoint sets of names; the root of a set is one of its names."""

    def __init__(self) -> None:
        self._above: dict[str, str] = {}

    def root(self, name: str) -> str:
        path = []
        while (above := self._above.get(name, name)) != name:
            path.append(name)
            name = above
        for passed in path:
            self._above[passed] = name
        return name

    def join(self, one: str, other: str) -> None:
        self._above[self.root(one)] = self.root(other)


def divide(wiring: Wiring, state: State, foreign: Iterable[Foreign] = ()) -> list[Members]:
    """The parts of a layout that do not touch each other, small ones put together."""
    groups, parts = _Union(), _Union()
    for belt in wiring.belts:
        for fed in wiring.downstream(belt):
            groups.join(belt, fed)
    for joint in wiring.joints.values():
        for belt in joint.loop if isinstance(joint, Gate) else ():
            groups.join(belt, joint.outlet)
    for belt in wiring.belts:
        parts.join(belt, groups.root(belt))
    for picker in wiring.pickers.values():
        parts.join(picker.source.device, picker.target.device)
    for applicator in wiring.applicators.values():
        parts.join(applicator.name, applicator.belt)

    _join_small(wiring, parts)

    strangers = tuple(foreign)
    found = _materials(wiring, groups, state, strangers)
    narrow = _narrow(wiring, groups, found, state, strangers)
    names: dict[str, dict[str, list[str]]] = {}
    holders: dict[str, Iterable[str]] = {
        "belts": wiring.belts,
        "stations": wiring.stations,
        "stores": wiring.stores,
    }
    for kind, devices in holders.items():
        for name in devices:
            names.setdefault(parts.root(name), defaultdict(list))[kind].append(name)
    for kind, places in _places(wiring).items():
        for name, place in places.items():
            names[parts.root(place)][kind].append(name)
    return [_members(wiring, kinds, groups, found, narrow) for kinds in names.values()]


def _narrow(
    wiring: Wiring,
    groups: _Union,
    found: Mapping[str, set[Kind]],
    state: State,
    foreign: Sequence[Foreign],
) -> dict[str, tuple[Kind, ...]]:
    """Palettes of their own for the belts of groups with more kinds than a cell tells apart. The
    belts of a gate keep one: it counts carriers by their bits."""
    wide = {root for root in map(groups.root, wiring.belts) if len(found[root]) > MOST_KINDS}
    if not wide:
        return {}
    spots = _Union()
    for joint in wiring.joints.values():
        for belt in (*inlets_of(joint), *joint.loop) if isinstance(joint, Gate) else ():
            spots.join(belt, joint.outlet)
    passes = _passes(wiring, spots)
    kinds = _materials(wiring, spots, state, foreign, passes)
    palettes: dict[str, tuple[Kind, ...]] = {}
    for group in wide:
        own = [belt for belt in wiring.belts if groups.root(belt) == group]
        places = {spots.root(belt): kinds[spots.root(belt)] for belt in own}
        inside = [way for way in passes if way.source in places]
        every = _sorted(wiring, {kind for held in places.values() for kind in held})
        told = narrow_palettes(places, inside, every)
        palettes |= {belt: told[spots.root(belt)] for belt in own}
    return palettes


def _passes(wiring: Wiring, spots: _Union) -> list[Pass]:
    """How carriers go on from belt to belt."""
    found = []
    for belt in wiring.belts:
        head = wiring.head.get(belt)
        for fed in wiring.downstream(belt):
            way = Pass(spots.root(belt), spots.root(fed))
            if isinstance(head, Divert) and head.rule == "material":
                named = {m for m, outlet in head.filters if outlet == fed}
                last = fed == head.outlets[-1]
                kept = {m for m, outlet in head.filters if outlet != fed} if last else named
                way = replace(way, materials=frozenset(kept), others=last)
            found.append(way)
    return found


def _join_small(wiring: Wiring, parts: _Union) -> None:
    """Put parts below `LEAST` together: each part costs a little in every tick."""
    weights = Counter({name: len(belt.path) for name, belt in wiring.belts.items()})
    weights.update(dict.fromkeys((*wiring.stations, *wiring.stores), 10))
    whole: Counter[str] = Counter()
    for name, weight in weights.items():
        whole[parts.root(name)] += weight
    gathered, last = 0, ""
    for root, weight in whole.items():
        if weight < LEAST:
            if 0 < gathered < LEAST:
                parts.join(root, last)
            else:
                gathered = 0
            gathered, last = gathered + weight, root


def _places(wiring: Wiring) -> dict[str, dict[str, str]]:
    """For every other device, one of the belts, stations or stores that it works on."""
    return {
        "sources": {name: source.belt for name, source in wiring.sources.items()},
        "drains": {name: drain.belt for name, drain in wiring.drains.items()},
        "joints": {name: joint.outlet for name, joint in wiring.joints.items()},
        "flanks": {name: flank.main for name, flank in wiring.flanks.items()},
        "diverts": {name: divert.inlet for name, divert in wiring.diverts.items()},
        "pickers": {name: picker.source.device for name, picker in wiring.pickers.items()},
        "applicators": {name: one.belt for name, one in wiring.applicators.items()},
    }


def _members(
    wiring: Wiring,
    kinds: Mapping[str, list[str]],
    groups: _Union,
    found: Mapping[str, set[Kind]],
    narrow: Mapping[str, tuple[Kind, ...]],
) -> Members:
    belts = kinds["belts"]
    number = {name: index for index, name in enumerate(belts)}
    order, breaks = belt_order(
        {number[name]: [number[fed] for fed in wiring.downstream(name)] for name in belts}
    )
    told: dict[str | tuple[Kind, ...], int] = {}
    palette = [told.setdefault(narrow.get(name, groups.root(name)), len(told)) for name in belts]
    palettes = [_sorted(wiring, found[p]) if isinstance(p, str) else p for p in told]
    flanks = sorted(kinds["flanks"], key=lambda name: number[wiring.flanks[name].main])
    mentioned = {kind for palette in palettes for kind in palette}
    for name in kinds["pickers"]:
        mentioned |= found[name]
    for name in kinds["stores"]:
        mentioned |= found[name]
    for name in kinds["stations"]:
        recipe = wiring.recipe[name]
        mentioned |= {Kind(material) for material, _ in (*recipe.inputs, *recipe.outputs)}
    mentioned |= {Kind(wiring.applicators[name].agent) for name in kinds["applicators"]}
    return Members(
        belts=tuple(belts),
        belt_order=tuple(order),
        breaks=tuple(belts[index] for index in breaks),
        palette=tuple(palette),
        palettes=tuple(palettes),
        kinds=_sorted(wiring, mentioned),
        flanks=tuple(flanks),
        **{
            kind: tuple(kinds[kind])
            for kind in (
                "sources",
                "drains",
                "joints",
                "diverts",
                "stations",
                "stores",
                "pickers",
                "applicators",
            )
        },
    )


def _sorted(wiring: Wiring, kinds: Iterable[Kind]) -> tuple[Kind, ...]:
    return tuple(sorted(kinds, key=lambda kind: (wiring.rank[kind.material], kind.mark)))


def _materials(
    wiring: Wiring,
    groups: _Union,
    state: State,
    foreign: Iterable[Foreign],
    passes: Sequence[Pass] = (),
) -> dict[str, set[Kind]]:
    """The kinds that can come onto each group of belts and into each store; and what is in the hand
    of each picker now. `passes` lead from group to group."""
    found: dict[str, set[Kind]] = defaultdict(set)
    for dock in wiring.sources.values():
        found[groups.root(dock.belt)].add(Kind(dock.material))
    for carrier in foreign:
        found[groups.root(carrier.belt)].add(Kind(carrier.material))
    for name, cells in state.belts.items():
        marks = state.marks.get(name, (0,) * len(cells))
        found[groups.root(name)].update(
            Kind(cell[0], mark) for cell, mark in zip(cells, marks, strict=True) if cell
        )
    for name, drain in wiring.drains.items():  # what left before must stay on the counters
        found[groups.root(drain.belt)].update(map(Kind, state.counters.drains[name].carriers))
    for name, passed in state.windows.items():
        outlet = groups.root(wiring.joints[name].outlet)
        found[outlet].update(Kind(m) for m in passed if m is not None)
    for name, held in state.stores.items():
        found[name].update(units_by_kind(held, state.marked.get(name, {})))
    ways = []
    for name, picker in wiring.pickers.items():
        target, hand = groups.root(picker.target.device), state.pickers[name]
        if hand.material is not None:
            found[name].add(Kind(hand.material, hand.mark))
        if picker.target.device in wiring.stations or picker.target.device in wiring.applicators:
            continue
        found[target] |= found[name]
        ways.append((groups.root(picker.source.device), target))
    for name, recipe in wiring.recipe.items():
        found[name] = {Kind(material) for material, _ in recipe.outputs}
    changed = True
    while changed:
        changed = False
        for one in wiring.applicators.values():
            there = found[groups.root(one.belt)]
            new = {Kind(kind.material, one.level) for kind in there if marks_kind(one, kind)}
            changed |= not new <= there
            there |= new
        for source, target in ways:
            new = found[source] - found[target]
            if new:
                found[target] |= new
                changed = True
        for way in passes:
            new = {kind for kind in found[way.source] - found[way.target] if way.lets(kind)}
            found[way.target] |= new
            changed |= bool(new)
    return found


def marks_kind(applicator: Applicator, kind: Kind) -> bool:
    """Whether an applicator gives such carriers its mark."""
    named = not applicator.materials or kind.material in applicator.materials
    return named and kind.mark < applicator.level
