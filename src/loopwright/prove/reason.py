"""The lines of a proof: each inequality with the numbers of the loop in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from math import floor

from loopwright.prove.claim import Reason
from loopwright.prove.mix_reason import mix_reason, patterns_to, rate_reasons
from loopwright.prove.ring import Drawer, Feed, Need, Ring


def loop_reasons(ring: Ring) -> Iterator[Reason]:
    """What the loop is: cells, drive, ways in and out, caps."""
    sizes = dict(zip(ring.belts, ring.lengths, strict=True))
    shown = ring.belts if ring.sorting is None else ring.sorting.row
    cells = sum(sizes[belt] for belt in shown)
    yield Reason("loop", f"{' + '.join(f'{b} {sizes[b]}' for b in shown)} = {cells} cells")
    drive = f"all belts step together, {ring.speed} cells/s"
    if ring.sorting is not None:
        yield Reason("drive", f"{drive}; no siding is ever full, so the row never stands")
        yield Reason("entry", f"by {ring.gate} only, which waits for what its pattern says")
    elif ring.waste is None:
        over = f"the last cell of {ring.seam} is passed over"
        yield Reason("drive", f"{drive}; {over}, so {cells} - 1 = {cells - 1} places go round")
        yield Reason("entry", f"by {ring.gate} only, which lets {ring.main} go first")
    else:
        out = f"what has no room at {ring.waste.divert} goes to {ring.waste.drain} at once"
        yield Reason("drive", f"{drive}; {out}")
        yield Reason("entry", f"by {ring.gate} only, where {ring.main} has places in the pattern")
    for feed in ring.feeds:
        if feed.mix is not None:
            yield mix_reason(feed.belt, feed.mix)
    for feed in ring.lanes:
        yield Reason(
            "feed", f"{feed.belt} brings {feed.material} only, {feed.load} units on a carrier"
        )
        yield from _way(feed)
    commit = sum(len(ring.sure_taps(drawer.station)) for drawer in ring.drawers)
    yield Reason(
        "exit",
        f"into {len(ring.drawers)} stations only, by {commit} pickers of habit commit and "
        f"{len(ring.taps) - commit} others, each station with one of the former",
    )
    if ring.elsewhere:
        names = ", ".join(ring.elsewhere)
        yield Reason("elsewhere", f"{names} come to the stations by other ways")
    kinds = {drawer.recipe: drawer for drawer in ring.drawers}
    for recipe in kinds:
        alike = [drawer for drawer in ring.drawers if drawer.recipe == recipe]
        for number, need in enumerate(alike[0].needs):
            cap = min(drawer.needs[number].cap for drawer in alike)
            yield Reason("caps", f"{recipe}: {need.material} {cap} >= {need.amount} a cycle")
        for output, units in alike[0].made:
            room = min(drawer.outlet_cap for drawer in alike)
            yield Reason("outlet", f"{recipe}: {output} {room} >= {units} a cycle")
        yield from _whole(ring, alike)


def _whole(ring: Ring, alike: Sequence[Drawer]) -> Iterator[Reason]:
    """Where carriers are taken whole: what is short of a cycle leaves room for one more."""
    for number, need in enumerate(alike[0].needs):
        small = [d for d in alike if ring.least_cap(d, d.needs[number]) > need.amount]
        if small:
            cap = min(drawer.needs[number].cap for drawer in small)
            load, grain = ring.most_on(need.material), ring.grain(need)
            yield Reason(
                "whole",
                f"{small[0].recipe}: {need.material} {cap} >= {need.amount} + {load} - {grain} = "
                f"{need.amount + load - grain}, carriers of {load} being taken whole",
            )


def _way(feed: Feed) -> Iterator[Reason]:
    """On which way carriers are sure to come, where they do not come straight from one dock."""
    way = feed.way
    if way is None or (feed.docks == (way.dock,) and not feed.shared):
        return
    told = f"{feed.belt}: {way.dock} brings {way.brings} carriers/s"
    if way.stations:
        told += f" > {way.uses} that {way.stations} stations served before it use"
    else:
        told += ", and nothing is served before"
    yield Reason("way", told)


def places_reasons(ring: Ring) -> Iterator[Reason]:
    """Theorem drain: every input has places, which come again and again."""
    yield from loop_reasons(ring)
    yield from pattern_reasons(ring)


def pattern_reasons(ring: Ring) -> Iterator[Reason]:
    """The places that each input has in the pattern."""
    for material in ring.needed:
        places = ring.places(material)
        yield Reason("places", f"{material}: {places} of {len(ring.pattern)} places")


def offered(ring: Ring, need: Need) -> Fraction:
    """Units of an input that a pattern of a drained loop brings, in the long run at least."""
    return ring.places(need.material) * load_of(ring, need.material)


def used(ring: Ring, drawer: Drawer, need: Need) -> Fraction:
    """Units of it that all stations, which are alike, use in the steps of one pattern."""
    assert ring.speed is not None
    steps = drawer.cycle * ring.speed
    return Fraction(len(ring.drawers) * need.amount * len(ring.pattern)) / steps


def share_reasons(ring: Ring) -> Iterator[Reason]:
    """Theorem share: whatever comes back, the fresh carriers of a pattern are enough."""
    assert ring.speed is not None
    yield from places_reasons(ring)
    for feed in ring.lanes:
        yield Reason("prompt", f"{feed.belt} keeps up: {ring.speed} cells/s, its dock as fast")
    yield from rate_reasons(ring)
    drawer, places = ring.drawers[0], len(ring.pattern)
    for need in drawer.needs:
        yield Reason(
            "flow",
            f"{need.material}: {ring.places(need.material)} x "
            f"{load_of(ring, need.material)} = {offered(ring, need)} units >= "
            f"{used(ring, drawer, need)} that all stations use in {places} steps, one pattern",
        )
    steps = drawer.cycle * ring.speed
    for need in drawer.needs:
        held, wait = ring.least_held(need), patterns_to(ring, need.material)
        told = "one pattern" if wait == 1 else f"{wait} patterns"
        yield Reason(
            "bridge",
            f"{need.material}: {held} / {need.amount} cycles of {steps} steps = "
            f"{held * steps / need.amount} >= {wait * places}, {told}",
        )


def others(ring: Ring, material: str) -> list[int]:
    """The quotas of all materials but one; there must be one for each."""
    return [quota or 0 for name, quota in ring.quotas if name != material]


def quota_reasons(ring: Ring) -> Iterator[Reason]:
    """Theorem quota: no input can be shut out."""
    cells = ring.cells
    yield from loop_reasons(ring)
    counted = (
        f"in the last {ring.window} - 1 = {ring.window - 1} actions of the gate"
        if ring.rule == "windowed"
        else "on all belts of the loop"
    )
    for material, quota in ring.quotas:
        if quota is not None:
            yield Reason("quota", f"{material} at most {quota} carriers, counted {counted}")
    for material in ring.needed:
        counts = others(ring, material)
        total = sum(counts)
        parts = " + ".join(map(str, counts)) if counts else "none"
        yield Reason(
            "room", f"{material}: all others {parts} = {total} <= {cells - 2} = {_two(ring)}"
        )


def _two(ring: Ring) -> str:
    return f"{ring.cells} - 2"


def batch(ring: Ring) -> Fraction | None:
    """Cycles' worth of inputs in one pattern of a ratio-locked gate, if the same for all inputs."""
    loads = {feed.material: feed.load for feed in ring.feeds}
    pattern = ring.pattern_of()
    worth = {
        Fraction(pattern.count(need.material) * loads.get(need.material, 0), need.amount)
        for need in ring.drawers[0].needs
    }
    return worth.pop() if len(worth) == 1 else None


def most_left(ring: Ring, missing: Sequence[str]) -> Fraction:
    """V: cycles' worth of inputs in the system at most, while every station lacks one of
    `missing` and the loop holds none of them."""
    stations = len(ring.drawers)
    lacking = -(-stations // len(missing))
    needs = [need for need in ring.drawers[0].needs if need.material in missing]
    return max(
        Fraction(lacking * (n.amount - 1) + (stations - lacking) * n.cap, n.amount) for n in needs
    )


def left_on_loop(ring: Ring, missing: Sequence[str], worth: Fraction) -> list[tuple[str, int]]:
    """Units of each other input on the loop at most, in a jam for want of `missing`."""
    stations = len(ring.drawers)
    most = most_left(ring, missing) + worth
    return [
        (need.material, max(0, floor(need.amount * most) - stations * ring.least_held(need)))
        for need in ring.drawers[0].needs
        if need.material not in missing
    ]


def missing_sets(ring: Ring) -> Iterator[tuple[str, ...]]:
    """All sets of inputs that may be missing, but not all at once."""
    names = [need.material for need in ring.drawers[0].needs]
    for size in range(1, len(names)):
        yield from combinations(names, size)


def ratio_reasons(ring: Ring, worth: Fraction) -> Iterator[Reason]:
    """Theorem ratio: the mix that has entered cannot fill the loop with some inputs missing."""
    yield from loop_reasons(ring)
    loads = {feed.material: feed.load for feed in ring.feeds}
    pattern = ring.pattern_of()
    for need in ring.drawers[0].needs:
        m, count = need.material, pattern.count(need.material)
        units = count * loads[m]
        yield Reason(
            "pattern",
            f"{m} {count} x {loads[m]} = {units} units, {units} / {need.amount} = {worth} cycles",
        )
    stations = len(ring.drawers)
    for need in ring.drawers[0].needs:
        least = ring.least_held(need)
        told = f" {least}, up to" if least < need.cap else ""
        yield Reason("hold", f"{stations} stations hold{told} {need.cap} of {need.material} each")
    for missing in missing_sets(ring):
        left = left_on_loop(ring, missing, worth)
        total = sum(units for _, units in left)
        held = most_left(ring, missing)
        told = " + ".join(f"{name} {units}" for name, units in left)
        yield Reason(
            "missing",
            f"{' and '.join(missing)}: at most {held} + {worth} cycles' worth of the others, on "
            f"the loop {told} = {total} <= {ring.cells - 2} = {_two(ring)}",
        )


def offer(ring: Ring, material: str) -> int:
    """Carriers of `material` that pass a windowed gate in every turn, at least."""
    places = ring.cells - 1
    quotas = dict(ring.quotas)
    total = sum(quota or 0 for quota in quotas.values())
    if total <= places:
        return (quotas[material] or 0) - (ring.window - places)
    return places - sum(others(ring, material))


def load_of(ring: Ring, material: str) -> int:
    """Units on a fresh carrier of `material`, at least."""
    return min(feed.load for feed in ring.lanes if feed.material == material)


def use(ring: Ring, material: str) -> Fraction:
    """Units of `material` that all stations use in one turn of the loop at full rate."""
    assert ring.speed is not None
    return sum(
        (
            Fraction(need.amount) * (ring.cells - 1) / (drawer.cycle * ring.speed)
            for drawer in ring.drawers
            for need in drawer.needs
            if need.material == material
        ),
        Fraction(0),
    )


def flow_reasons(ring: Ring) -> Iterator[Reason]:
    """Theorem flow: whatever happened before, every turn brings enough of every input."""
    assert ring.speed is not None
    yield from quota_reasons(ring)
    places = ring.cells - 1
    total = sum(quota or 0 for _, quota in ring.quotas)
    for feed in ring.feeds:
        yield Reason("prompt", f"{feed.belt} keeps up: {ring.speed} cells/s, its dock as fast")
    for material in ring.needed:
        quota = dict(ring.quotas)[material] or 0
        how = (
            f"quotas {total} <= {places}, {quota} - {ring.window - places}"
            if total <= places
            else f"quotas {total} > {places}, {places} - {sum(others(ring, material))}"
        )
        yield Reason("offer", f"{material}: {how} = {offer(ring, material)} carriers in every turn")
    for material in ring.needed:
        carriers, load = offer(ring, material), load_of(ring, material)
        yield Reason(
            "flow",
            f"{material}: {carriers} x {load} = {carriers * load} units >= "
            f"{use(ring, material)} that all stations use in a turn of {places} steps",
        )
    for drawer in ring.drawers[:1]:
        steps = drawer.cycle * ring.speed
        for need in drawer.needs:
            yield Reason(
                "bridge",
                f"{need.material}: {ring.least_held(need)} / {need.amount} cycles of {steps} steps "
                f"= {ring.least_held(need) * steps / need.amount} >= {places}, one turn",
            )
