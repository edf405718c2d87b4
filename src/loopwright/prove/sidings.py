"""Theorems siding and refill: loops whose leftovers wait on sidings that are never full."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.layout.siding import least_siding, most_in
from loopwright.prove.claim import Reason
from loopwright.prove.obstacle import Obstacle
from loopwright.prove.reason import load_of, loop_reasons, pattern_reasons, used
from loopwright.prove.ring import Need, Ring, Siding


def most_on(ring: Ring, siding: Siding) -> int:
    """Carriers of its material on the row and on `siding` at most, while fresh ones enter."""
    pattern, material = _numbers(ring), _material(ring, siding)
    return most_in(pattern, ring.materials.index(material), siding.row + siding.cells)


def least_cells(ring: Ring, siding: Siding) -> int | None:
    """The cells with which `siding` is never full; None if no length will do."""
    pattern, index = _numbers(ring), ring.materials.index(_material(ring, siding))
    if all(place == index for place in pattern):
        return None
    return least_siding(pattern, index, siding.row)


def sure_load(ring: Ring, material: str) -> int:
    """Units that every carrier of `material` holds at least when it passes the gate: all of a fresh
    one's where none comes back part-used, as all are taken whole; else one."""
    return load_of(ring, material) if all(tap.whole for tap in ring.taps) else 1


def _sure(ring: Ring, need: Need) -> int:
    """Units of an input that a pattern brings at least."""
    return ring.pattern_of().count(need.material) * sure_load(ring, need.material)


def _numbers(ring: Ring) -> list[int]:
    return [ring.materials.index(material) for material in ring.pattern_of()]


def _material(ring: Ring, siding: Siding) -> str:
    """What is fed by `siding`; its feeds must be known to bring one material each."""
    return next(feed.material or "" for feed in ring.feeds if feed.belt == siding.supply)


def sorted_obstacles(ring: Ring) -> Iterator[Obstacle]:
    """What a sorted loop must be for any theorem."""
    sorting = ring.sorting
    assert sorting is not None
    if ring.rule != "sorted":
        yield Obstacle(
            f"{sorting.joint} passes by an input that is not there: while all others stay away, "
            "one fills the row, and with it its siding, however long it is",
            "mix the feeds by a ratio-locked gate (gate: sorted)",
        )
    for siding in sorting.sidings:
        if not siding.first:
            yield Obstacle(
                f"{siding.supply} does not wait for {siding.belt}: fresh supply has to enter "
                "only while nothing is at the end of the siding",
                "let the siding go first (priority)",
            )
    aside = {belt for siding in sorting.sidings for belt in (siding.belt, siding.feed)}
    for tap in ring.taps:
        if tap.belt in aside:
            yield Obstacle(f"{tap.picker} takes from {tap.belt}", "take from the lane only")


def siding_obstacles(ring: Ring) -> Iterator[Obstacle]:
    """Theorem siding: each material has its own siding, which is never full."""
    assert ring.sorting is not None
    pattern, fed = ring.pattern_of(), {feed.material for feed in ring.feeds}
    if len(fed) < len(ring.feeds) or fed != set(ring.materials):
        yield Obstacle("what enters is not just one material a feed")
        return
    for siding in ring.sorting.sidings:
        material = _material(ring, siding)
        comes = siding.takes & set(ring.materials)
        if comes != {material}:
            yield Obstacle(
                f"{siding.belt} before the feed of {material} takes {', '.join(sorted(comes))}",
                "send each material to its own siding",
            )
        if material not in pattern:
            yield Obstacle(f"{material} has no place in the pattern of {ring.gate}")
            continue
        most = most_on(ring, siding)
        if most >= siding.cells:
            least = least_cells(ring, siding)
            yield Obstacle(
                f"{siding.belt} may be full: {siding.row} + {siding.cells} = "
                f"{siding.row + siding.cells} places of the pattern hold up to {most} of "
                f"{material}, the siding has {siding.cells} cells",
                "" if least is None else f"make {siding.belt} {least} cells long or longer",
            )


def siding_reasons(ring: Ring) -> Iterator[Reason]:
    """Theorem siding: no siding is ever full."""
    assert ring.sorting is not None
    yield from loop_reasons(ring)
    yield from pattern_reasons(ring)
    for siding in ring.sorting.sidings:
        material = _material(ring, siding)
        yield Reason(
            "siding",
            f"{material}: {siding.belt}, {siding.cells} cells, {siding.row} behind the gate, goes "
            f"before {siding.supply} into {siding.feed}",
        )
        most = most_on(ring, siding)
        yield Reason(
            "room",
            f"{material}: {siding.row} + {siding.cells} = {siding.row + siding.cells} places of "
            f"the pattern hold {most} at most <= {siding.cells - 1} = {siding.cells} - 1",
        )


def refill_obstacles(ring: Ring) -> Iterator[Obstacle]:
    """Theorem refill: a pattern brings enough of every input; stations are known to be alike."""
    assert ring.speed is not None
    drawer, places = ring.drawers[0], len(ring.pattern)
    for need in drawer.needs:
        name, use = need.material, used(ring, drawer, need)
        if _sure(ring, need) < use:
            spent = sure_load(ring, name) < load_of(ring, name)
            why = "what comes back is part-used, so " if spent else ""
            yield Obstacle(
                f"{name}: {why}{_sure(ring, need)} units are sure in a pattern of {places} places, "
                f"all stations use {use}",
                "let pickers at the loop take whole carriers, or shorten the row"
                if spent
                else "bring the pattern to the ratio of the recipe, or shorten the row",
            )
        lasts = ring.least_held(need) * drawer.cycle * ring.speed / need.amount
        if lasts < places:
            yield Obstacle(
                f"{name}: a full station works {lasts} steps, a pattern has {places}",
                "raise the caps",
            )


def refill_reasons(ring: Ring) -> Iterator[Reason]:
    """Theorem refill: whatever was before, every pattern brings enough of every input."""
    assert ring.speed is not None
    yield from siding_reasons(ring)
    for feed in ring.feeds:
        yield Reason("prompt", f"{feed.belt} keeps up: {ring.speed} cells/s, its dock as fast")
    drawer, places = ring.drawers[0], len(ring.pattern)
    steps = drawer.cycle * ring.speed
    for need in drawer.needs:
        name = need.material
        yield Reason(
            "flow",
            f"{name}: {ring.pattern_of().count(name)} x {sure_load(ring, name)} = "
            f"{_sure(ring, need)} units >= {used(ring, drawer, need)} that all stations use in "
            f"{places} steps, one pattern",
        )
    for need in drawer.needs:
        held = ring.least_held(need)
        yield Reason(
            "bridge",
            f"{need.material}: {held} / {need.amount} cycles of {steps} steps = "
            f"{held * steps / need.amount} >= {places}, one pattern",
        )
