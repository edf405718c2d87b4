"""What comes by a supply belt: the docks behind it, through joints, merges and diverts.

The rules are those of the lemma on shared docks in docs/theory/prove.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from loopwright.layout.layout import Divert, Drain, Gate, Merge, Source
from loopwright.layout.order import natural_key
from loopwright.prove.ring import Feed, Way
from loopwright.simulate.clock import cycles_of
from loopwright.simulate.wiring import Wiring


def feed_of(wiring: Wiring, belt: str, speed: Fraction | None) -> Feed:
    """The fresh inlet `belt` of a gate on a loop of `speed` [cells/s]."""
    above = belts_above(wiring, belt)
    docks = [joint for one in above if isinstance(joint := wiring.tail.get(one), Source)]
    names = tuple(sorted((dock.name for dock in docks), key=natural_key))
    fault = next(_faults(wiring, above, docks), "")
    ways = [] if fault else list(_ways(wiring, belt))
    sure = [way for way in ways if way.brings > way.uses]
    fault = fault or _unsure(ways, sure)
    if fault:
        return Feed(belt, None, 0, False, names, fault=fault)
    prompt = _prompt(wiring, belt, speed)
    shared = any(
        isinstance(divert := wiring.head.get(one), Divert) and not set(divert.outlets) <= set(above)
        for one in above
    )
    return Feed(belt, docks[0].material, docks[0].load, prompt, names, _first(sure), shared)


def _first(ways: Iterable[Way]) -> Way:
    """The way on which least is taken, of equal ones that from the dock first by name."""
    return min(ways, key=lambda way: (way.uses, natural_key(way.dock)))


def _unsure(ways: Sequence[Way], sure: Sequence[Way]) -> str:
    if sure:
        return ""
    if not ways:
        return "need not get anything: others may take all that comes"
    way = _first(ways)
    return (
        f"need not get anything: {way.dock} brings {way.brings} carriers/s, {way.stations} "
        f"stations that are served before use {way.uses}"
    )


def belts_above(wiring: Wiring, belt: str) -> list[str]:
    """`belt` and all belts that lead to it, but not through a gate."""
    found = [belt]
    for one in found:
        found += [other for other in belts_behind(wiring, one) if other not in found]
    return found


def belts_behind(wiring: Wiring, belt: str) -> tuple[str, ...]:
    """The belts of which the heads feed `belt`, but not by a gate."""
    sides = tuple(side.inlet for side in wiring.flanks.values() if side.main == belt)
    match wiring.tail.get(belt):
        case Merge(inlets=inlets):
            return (*inlets, *sides)
        case Divert(inlet=inlet):
            return (inlet, *sides)
    return sides


def _faults(wiring: Wiring, above: Sequence[str], docks: Sequence[Source]) -> Iterator[str]:
    """What makes it uncertain that one material, and no other, comes by the first of `above`."""
    yield from others_at(wiring, above)
    for one in above:
        if any(one in belts_above(wiring, other) for other in belts_behind(wiring, one)):
            yield f"comes out of a ring of belts, {one} among them"
    brings = sorted({dock.material for dock in docks}, key=wiring.rank.__getitem__)
    if len(brings) > 1:
        yield f"brings {', '.join(brings)}: one that waits can hold up another"
    elif len({dock.load for dock in docks}) > 1:
        yield "brings carriers of different loads"


def others_at(wiring: Wiring, above: Sequence[str]) -> Iterator[str]:
    """What beside docks and joints has to do with the belts `above`."""
    for one in above:
        joint = wiring.tail.get(one)
        if isinstance(joint, Gate):
            yield f"comes through another gate, {joint.name}"
        elif joint is None and not belts_behind(wiring, one):
            yield f"begins with {one}, which nothing feeds"
    for picker in wiring.pickers.values():
        if picker.target.device in above:
            yield f"has things put on it by {picker.name}"
        if picker.source.device in above:
            yield f"is drawn on by {picker.name}"


def _ways(wiring: Wiring, belt: str) -> Iterator[Way]:
    """Ways from docks to `belt`, while nothing stands on it: what passes them cannot be held up."""
    match wiring.tail.get(belt):
        case Source() as dock:
            if dock.rate != 0:
                yield Way(dock.name, _rate(wiring, dock), 0, Fraction(0))
        case Merge(inlets=inlets):
            for inlet in inlets:
                yield from _ways(wiring, inlet)
        case Divert() as divert if _passes(wiring, divert, belt):
            before = divert.outlets[: divert.outlets.index(belt)]
            if divert.rule != "overflow" or not before:
                yield from _ways(wiring, divert.inlet)
            else:
                yield from _flows(wiring, divert.inlet, before)
    for side in wiring.flanks.values():
        if side.main == belt:
            yield from _ways(wiring, side.inlet)


def _passes(wiring: Wiring, divert: Divert, belt: str) -> bool:
    """Whether all that one dock brings may leave `divert` for `belt`."""
    if divert.rule != "material":
        return True
    comes = {
        joint.material
        for one in belts_above(wiring, divert.inlet)
        if isinstance(joint := wiring.tail.get(one), Source)
    }
    filters = dict(divert.filters)
    return all(filters.get(material, divert.outlets[-1]) == belt for material in comes)


def _flows(wiring: Wiring, belt: str, rivals: tuple[str, ...]) -> Iterator[Way]:
    """The way from the dock to `belt` while this runs freely and all goes to `rivals`.

    Behind a merge there is none: inlets that wait for each other bring less than their docks could.
    """
    match wiring.tail.get(belt):
        case Source() as dock:
            users = _users(wiring, rivals)
            if users is not None:
                recipes = [wiring.recipe[name] for name in users]
                units = [dict(r.inputs).get(dock.material, 0) / min(cycles_of(r)) for r in recipes]
                uses = sum(units, Fraction(0)) / dock.load
                yield Way(dock.name, _rate(wiring, dock), len(users), uses)
        case Merge(inlets=(inlet,)) if _keeps_up(wiring, belt, inlet):
            yield from _flows(wiring, inlet, rivals)
        case Divert() as divert if _keeps_up(wiring, belt, divert.inlet):
            if _passes(wiring, divert, belt):
                place = divert.outlets.index(belt)
                others = () if divert.rule == "material" else divert.outlets[:place]
                if divert.rule == "alternate":
                    others += divert.outlets[place + 1 :]
                yield from _flows(wiring, divert.inlet, (*rivals, *others))


def _keeps_up(wiring: Wiring, belt: str, inlet: str) -> bool:
    return wiring.belts[belt].speed >= wiring.belts[inlet].speed


def _rate(wiring: Wiring, dock: Source) -> Fraction:
    """What a dock brings while its belt runs freely [carriers/s]."""
    speed = wiring.belts[dock.belt].speed
    return speed if dock.rate is None else min(dock.rate, speed)


def _users(wiring: Wiring, belts: Iterable[str]) -> set[str] | None:
    """The stations that `belts` lead to; None where things may end up elsewhere as well."""
    beyond = list(belts)
    for one in beyond:
        if isinstance(wiring.head.get(one), Drain):
            return None
        beyond += [other for other in wiring.downstream(one) if other not in beyond]
    takers = {p.target.device for p in wiring.pickers.values() if p.source.device in beyond}
    return takers if takers <= wiring.stations.keys() else None


def _prompt(wiring: Wiring, belt: str, speed: Fraction | None) -> bool:
    """Whether, while docks supply, a carrier waits at the head of `belt` in every step."""
    if wiring.belts[belt].speed != speed:
        return False
    match wiring.tail.get(belt):
        case Source(rate=rate):
            return rate is None or rate >= wiring.belts[belt].speed
        case Merge(inlets=inlets):
            return any(_prompt(wiring, inlet, speed) for inlet in inlets)
        case Divert(rule="overflow", outlets=(first, *_), inlet=inlet):
            return first == belt and _prompt(wiring, inlet, speed)
    return False
