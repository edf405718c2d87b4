"""The theorems as rules: which of them answers for a loop, or what stands in its way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from loopwright.layout.quota import shared_quotas
from loopwright.prove.claim import GIVEN, QUESTION_OF, Claim, Reason
from loopwright.prove.docks import dock_obstacles
from loopwright.prove.mix_reason import patterns_to
from loopwright.prove.obstacle import Obstacle
from loopwright.prove.reason import (
    batch,
    flow_reasons,
    left_on_loop,
    load_of,
    missing_sets,
    offer,
    offered,
    others,
    places_reasons,
    quota_reasons,
    ratio_reasons,
    share_reasons,
    use,
    used,
)
from loopwright.prove.ring import Drawer, Ring
from loopwright.prove.sidings import (
    refill_obstacles,
    refill_reasons,
    siding_obstacles,
    siding_reasons,
    sorted_obstacles,
)


def find_safety(ring: Ring) -> Claim | tuple[Obstacle, ...]:
    """A proof that the loop cannot jam, or all that stands in its way."""
    locked = ring.rule == "ratio-locked" and ring.mixed
    drained = ring.rule == "drained"
    found = [*_of_loop(ring), *_of_pickers(ring)]
    if not found and ring.sorting is not None:
        found = list(siding_obstacles(ring))
        if not found:
            return _claim(ring, "siding", tuple(siding_reasons(ring)))
    elif not found and not drained:
        found = list(_of_ratio(ring) if locked else _of_quotas(ring))
    if found:
        return tuple(found)
    if drained:
        return _claim(ring, "drain", tuple(places_reasons(ring)))
    worth = batch(ring) if locked else None
    if worth is not None:
        return _claim(ring, "ratio", tuple(ratio_reasons(ring, worth)))
    return _claim(ring, "quota", tuple(quota_reasons(ring)))


def find_recovery(ring: Ring) -> Claim | tuple[Obstacle, ...]:
    """A proof that the loop comes back to full rate, or all that stands in its way."""
    found = [*_of_loop(ring), *_of_pickers(ring)]
    if not found and ring.sorting is not None:
        found = [*siding_obstacles(ring), *_of_refill(ring)]
        if not found:
            return _claim(ring, "refill", tuple(refill_reasons(ring)))
        return tuple(found)
    if not found and ring.rule in ("windowed", "scarcest-first"):
        found = list(_of_quotas(ring))
    if not found and ring.rule == "windowed":
        found = list(_of_flow(ring))
    elif not found and ring.rule == "drained":
        found = list(_of_share(ring))
        if not found:
            return _claim(ring, "share", tuple(share_reasons(ring)))
    elif not found:
        found = [_no_flow(ring), *_of_caps(ring)]
    if found:
        return tuple(found)
    return _claim(ring, "flow", tuple(flow_reasons(ring)))


def _claim(ring: Ring, theorem: str, reasons: tuple[Reason, ...]) -> Claim:
    given = GIVEN[theorem]
    given += ("A6",) if ring.elsewhere else ()
    given += ("A9",) if ring.served_late else ()
    return Claim(ring.name, QUESTION_OF[theorem], theorem, given, reasons)


def _of_loop(ring: Ring) -> Iterator[Obstacle]:
    """What the loop itself must be for any theorem."""
    if ring.kind == "dead end":
        yield Obstacle(
            f"{ring.name} is a mixed lane that ends: what its last stations have no room for "
            "stays before them",
            "lead its end back to its head (architecture: loop), or into a drain",
        )
        return
    if ring.kind == "tangle":
        yield Obstacle(f"{', '.join(ring.belts)} feed each other in more than one ring")
        return
    if not ring.drawers:
        yield Obstacle("no station draws on this loop")
    if ring.speed is None:
        yield Obstacle(
            "the belts of the loop differ in speed, so a free cell need not come to the gate",
            "build the loop of one kind of belt",
        )
    if ring.sorting is not None:
        yield from sorted_obstacles(ring)
    elif ring.gate is None:
        yield Obstacle("no gate with the loop as its main admits what enters", "add a gate")
    for stranger in ring.strangers:
        yield Obstacle(stranger, "let all that enters pass the gate")
    for way in ring.exits:
        yield Obstacle(way)
    if ring.waste is not None and ring.rule != "drained":
        yield Obstacle(
            f"{ring.waste.divert} leads away to {ring.waste.drain}, but what comes back goes first "
            "at the gate",
            "name what comes back in the pattern of the gate (gate: drained)",
        )
    if ring.waste is None and ring.rule == "drained":
        yield Obstacle(
            "what comes back has to wait for its places, and no drain takes what has none",
            "lead the rest to a drain by an overflow before the gate (gate: drained)",
        )
    for feed in ring.feeds:
        if feed.mix is not None and ring.rule != "drained":
            yield Obstacle(
                f"{feed.belt} {feed.fault}",
                "drain the loop (gate: drained), or give each material an inlet of its own "
                "(mix: gate)",
            )
        elif feed.material is None and feed.mix is None:
            yield Obstacle(
                f"{feed.belt} {feed.fault}", "give each material an inlet of its own from its docks"
            )
    for drawer in ring.drawers:
        yield from _of_buffers(drawer)


def _of_buffers(drawer: Drawer) -> Iterator[Obstacle]:
    for need in drawer.needs:
        if need.cap < need.amount:
            yield Obstacle(
                f"{drawer.station} holds {need.cap} of {need.material}, a cycle takes "
                f"{need.amount}",
                f"let it hold {need.amount} or more",
            )
    for output, units in drawer.made:
        if drawer.outlet_cap < units:
            yield Obstacle(
                f"{drawer.station} has room for {drawer.outlet_cap} of {output}, a cycle gives "
                f"{units}",
                f"make room for {units} or more",
            )


def _of_pickers(ring: Ring) -> Iterator[Obstacle]:
    """Each station needs a commit picker that sees carriers, and takes what it sees."""
    seam, grab, other, small = [], [], [], []
    for drawer in ring.drawers:
        taps = ring.taps_of(drawer.station)
        if not taps:
            seam += [tap.picker for tap in ring.taps if tap.target == drawer.station]
        elif all(tap.habit == "grab" for tap in taps):
            grab.append(taps[0].picker)
        elif not ring.sure_taps(drawer.station):
            other += [tap.picker for tap in taps if tap.habit == "commit"][:1]
        else:
            small += [
                (drawer, need) for need in drawer.needs if need.cap < ring.least_cap(drawer, need)
            ]
    if seam:
        yield Obstacle(
            f"{', '.join(seam)} at the last cell of {ring.seam} takes nothing: that cell is "
            "always passed over",
            "move it one cell up the belt, or let the belt run on one cell",
        )
    if grab:
        yield Obstacle(
            f"pickers take ahead (habit grab: {grab[0]}{_more(grab)}): with a hand full of what "
            "its station has no room for, while it lacks another input, one waits for ever",
            "use pickers of habit commit",
        )
    if other:
        yield Obstacle(
            f"pickers wait for a full hand, or take carriers whole with hands too small for one "
            f"({other[0]}{_more(other)}): they may leave what their station lacks",
            "let pickers at a loop take units, or give them hands for a carrier",
        )
    for drawer, need in small[:1]:
        least = ring.least_cap(drawer, need)
        yield Obstacle(
            f"carriers are taken whole, and {drawer.station}{_more(small)} holds {need.cap} of "
            f"{need.material}: with some left it may lack a cycle's {need.amount} and yet have no "
            f"room for {ring.most_on(need.material)}",
            f"let it hold {least} or more of {need.material}, or let pickers at a loop take units",
        )


def _more(many: Sequence[object]) -> str:
    return f" and {len(many) - 1} more" if len(many) > 1 else ""


def _of_quotas(ring: Ring) -> Iterator[Obstacle]:
    """Theorem quota: sum of all other quotas <= L - 2 for every input."""
    cells = ring.cells
    limits = {name: quota for name, quota in ring.quotas if quota is not None}
    best = ", ".join(f"{m} {q}" for m, q in _good_quotas(ring).items())
    remedy = f"choose gate: scarcest-first, with quotas such as {best}"
    if limits and ring.rule == "windowed" and ring.window < cells - 1:
        yield Obstacle(
            f"{ring.gate} counts over {ring.window} steps, shorter than a turn of {cells - 1}",
            f"let the window be {cells}",
        )
    if limits and ring.rule != "windowed" and not ring.counted:
        yield Obstacle(f"{ring.gate} does not count on all belts of the loop", "let it")
    for material in ring.needed:
        free = [name for name in ring.materials if name != material and name not in limits]
        if free:
            yield Obstacle(
                f"nothing limits {', '.join(free)}: they may take all {cells - 1} places while "
                f"{material} stays away, and it never comes in again",
                remedy,
            )
            continue
        total = sum(others(ring, material))
        if total > cells - 2:
            parts = " + ".join(map(str, others(ring, material)))
            yield Obstacle(
                f"{material} can be shut out: the quotas of all others {parts} = {total} > "
                f"{cells - 2} = {cells} - 2",
                remedy,
            )
    for material, quota in limits.items():
        if quota < 1 and material in ring.needed:
            yield Obstacle(f"{material} has the quota {quota} and never enters", remedy)


def _good_quotas(ring: Ring) -> dict[str, int]:
    shares = dict(ring.shares)
    return shared_quotas({name: shares.get(name, 1) for name in ring.materials}, ring.cells)


def uniform(ring: Ring) -> bool:
    """Whether all stations are alike and their inputs, and nothing else, come by the loop."""
    kinds = {(d.recipe, d.cycle, d.needs) for d in ring.drawers}
    inputs = {need.material for drawer in ring.drawers for need in drawer.needs}
    return len(kinds) == 1 and inputs == set(ring.materials)


_ALIKE = Obstacle(
    "the stations are not all alike, or what enters is not just what they use: the theorem does "
    "not speak of that",
    "choose gate: scarcest-first or windowed",
)


def _of_ratio(ring: Ring) -> Iterator[Obstacle]:
    """Theorem ratio: the mix that has entered cannot fill the loop with inputs missing."""
    if not uniform(ring) or len({f.material for f in ring.feeds}) < len(ring.feeds):
        yield _ALIKE
        return
    worth = batch(ring)
    if worth is None:
        yield Obstacle(
            f"the pattern of {ring.gate} is not in the ratio of the recipe, so one input piles up",
            "bring the pattern to the ratio of the recipe, in units",
        )
        return
    for missing in missing_sets(ring):
        left = left_on_loop(ring, missing, worth)
        total = sum(units for _, units in left)
        if total > ring.cells - 2:
            parts = " + ".join(f"{name} {units}" for name, units in left)
            yield Obstacle(
                f"without {' and '.join(missing)} the loop might hold {parts} = {total} > "
                f"{ring.cells - 2} = {ring.cells} - 2",
                "let the caps be the same number of cycles for all inputs",
            )


def _of_kinds(ring: Ring) -> Iterator[Obstacle]:
    """All stations are alike, and their cycles too."""
    if not uniform(ring):
        yield _ALIKE
    elif any(drawer.graded for drawer in ring.drawers):
        yield Obstacle("marks change the cycles: the theorem does not speak of that")


def _of_refill(ring: Ring) -> Iterator[Obstacle]:
    """Theorem refill: the fresh carriers of a pattern are enough by themselves."""
    kinds = list(_of_kinds(ring))
    yield from kinds
    if not kinds:
        yield from dock_obstacles(ring)
        yield from refill_obstacles(ring)


def _of_flow(ring: Ring) -> Iterator[Obstacle]:
    """Theorem flow: every turn brings enough of every input."""
    assert ring.speed is not None
    places = ring.cells - 1
    kinds = list(_of_kinds(ring))
    yield from kinds
    if kinds:
        return
    if any(quota is None for _, quota in ring.quotas):
        yield Obstacle("a material has no quota", "give each material a quota")
        return
    if ring.window - places not in (0, 1):
        yield Obstacle(
            f"the window of {ring.window} steps is not one turn of {places}",
            f"let the window be {ring.cells}",
        )
        return
    yield from dock_obstacles(ring)
    for material in ring.needed:
        units = offer(ring, material) * load_of(ring, material)
        if units < use(ring, material):
            yield Obstacle(
                f"{material}: {units} units are sure in a turn, all stations use "
                f"{use(ring, material)}",
                "raise its quota, or shorten the row",
            )
    drawer = ring.drawers[0]
    for need in drawer.needs:
        lasts = ring.least_held(need) * drawer.cycle * ring.speed / need.amount
        if lasts < places:
            yield Obstacle(
                f"{need.material}: a full station works {lasts} steps, a turn takes {places}",
                "raise the caps",
            )


def _of_share(ring: Ring) -> Iterator[Obstacle]:
    """Theorem share: the fresh carriers of a pattern are enough by themselves."""
    assert ring.speed is not None
    kinds = list(_of_kinds(ring))
    yield from kinds
    if kinds:
        return
    yield from dock_obstacles(ring)
    drawer, places = ring.drawers[0], len(ring.pattern)
    for need in drawer.needs:
        if offered(ring, need) < used(ring, drawer, need):
            yield Obstacle(
                f"{need.material}: {offered(ring, need)} units are sure in a pattern of {places} "
                f"places, all stations use {used(ring, drawer, need)}",
                "give what comes back fewer places, or shorten the row",
            )
        lasts = ring.least_held(need) * drawer.cycle * ring.speed / need.amount
        wait = patterns_to(ring, need.material)
        if lasts < wait * places:
            many = "a pattern has" if wait == 1 else f"{wait} patterns have"
            yield Obstacle(
                f"{need.material}: a full station works {lasts} steps, {many} {wait * places}",
                "raise the caps, or shorten the pattern",
            )


def _no_flow(ring: Ring) -> Obstacle:
    """What is known of gates for which full rate is not proved."""
    if ring.rule == "scarcest-first":
        text = (
            "proved is that every input comes in again and again and that the mix is levelled "
            "after an outage (theorem level); that this keeps every station busy is not proved"
        )
    elif ring.rule == "counted":
        text = (
            "a gate that counts what is on the loop now may let the others back in as soon as "
            "they are picked, and keep one short for ever if the quotas are large"
        )
    elif ring.rule == "ratio-locked":
        text = "the mix stays as it is for ever: whatever shifts it once is never made good"
    else:
        text = "the gate does not look at the mix, so whatever shifts it is never made good"
    return Obstacle(text, "choose gate: windowed, for which it is proved")


def _of_caps(ring: Ring) -> Iterator[Obstacle]:
    """Caps that differ in cycles starve a loop whose mix is fixed."""
    if ring.rule not in ("ratio-locked", "open"):
        return
    for drawer in ring.drawers[:1]:
        held = {need.material: (need.cap, need.amount) for need in drawer.needs}
        if len({Fraction(cap, amount) for cap, amount in held.values()}) > 1:
            told = ", ".join(f"{m} {cap} / {amount}" for m, (cap, amount) in held.items())
            yield Obstacle(
                f"{drawer.station} holds unequal numbers of cycles ({told}): stations hoard one "
                "input, and as much of the others must go round for nothing",
                "let the caps be the same number of cycles for all inputs",
            )
