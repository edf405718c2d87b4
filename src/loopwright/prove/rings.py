"""The loops of a layout, found from what is joined to what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil

from loopwright.layout.carried import carried_materials
from loopwright.layout.layout import Divert, Drain, Gate, Layout, Merge, Port, Source
from loopwright.layout.order import natural_key
from loopwright.layout.treatment.marks import usual_grades
from loopwright.prove.mixed import feeds_back, supply_of
from loopwright.prove.ring import Drawer, Feed, Need, Ring, Sorting, Tap, Waste
from loopwright.prove.sorting import sorting_of
from loopwright.simulate.clock import cycles_of
from loopwright.simulate.wiring import Wiring


def find_rings(layout: Layout) -> tuple[Ring, ...]:
    """Every closed loop of `layout` and every mixed lane without an end, by name.

    Raises
    ------
    LayoutError
        The devices do not fit each other.
    """
    wiring = Wiring(layout)
    rings = [_ring(wiring, belts, kind, sorting) for belts, kind, sorting in _closed(wiring)]
    rings += [_ring(wiring, (belt,), "dead end") for belt in _dead_ends(wiring)]
    return tuple(sorted(rings, key=lambda ring: natural_key(ring.name)))


def _closed(wiring: Wiring) -> Iterator[tuple[tuple[str, ...], str, Sorting | None]]:
    """The belts of each ring in order from its gate, or of each tangle by name; of a sorted loop
    the row, the sidings, the feeds. Left out are rings on which mixers feed back, which hold no
    stations."""
    ahead = {belt: set(wiring.downstream(belt)) for belt in wiring.belts}
    reach = {belt: _reached(ahead, belt) for belt in ahead}
    seen: set[str] = set()
    for belt in wiring.belts:
        if belt in seen or belt not in reach[belt]:
            continue
        together = [
            other for other in wiring.belts if other in reach[belt] and belt in reach[other]
        ]
        seen.update(together)
        if feeds_back(wiring, together):
            continue
        inside = {one: ahead[one] & set(together) for one in together}
        if any(len(following) != 1 for following in inside.values()):
            sorting = sorting_of(wiring, together)
            if sorting is None:
                yield tuple(together), "tangle", None
                continue
            sidings = sorting.sidings
            backs = [*(siding.belt for siding in sidings), *(siding.feed for siding in sidings)]
            yield (*sorting.row, *backs), "sorted loop", sorting
            continue
        first = next((b for b in together if _own_gate(wiring, b, together) is not None), belt)
        order = [first]
        while len(order) < len(together):
            order.append(next(iter(inside[order[-1]])))
        yield tuple(order), "loop", None


def _reached(ahead: dict[str, set[str]], start: str) -> set[str]:
    found: set[str] = set()
    open_ends = list(ahead[start])
    while open_ends:
        belt = open_ends.pop()
        if belt not in found:
            found.add(belt)
            open_ends += ahead[belt]
    return found


def _own_gate(wiring: Wiring, belt: str, belts: Sequence[str]) -> Gate | None:
    """The gate onto `belt`, if what comes round goes first in it."""
    joint = wiring.tail.get(belt)
    return joint if isinstance(joint, Gate) and joint.main in belts else None


def _dead_ends(wiring: Wiring) -> Iterator[str]:
    """Lanes without anything at their head that hold several inputs of one station."""
    carried = carried_materials(wiring.layout)
    for belt in wiring.belts:
        if belt in wiring.head:
            continue
        for picker in wiring.pickers.values():
            if picker.source.device == belt and picker.target.device in wiring.recipe:
                inputs = {name for name, _ in wiring.recipe[picker.target.device].inputs}
                if len(inputs & set(carried[belt])) > 1:
                    yield belt
                    break


def _ring(
    wiring: Wiring, belts: tuple[str, ...], kind: str, sorting: Sorting | None = None
) -> Ring:
    speeds = {wiring.belts[belt].speed for belt in belts}
    speed = speeds.pop() if len(speeds) == 1 else None
    if kind == "dead end":
        joint = wiring.tail.get(belts[0])
        gate = joint if isinstance(joint, Gate) else None
    elif sorting is not None:
        joint = wiring.joints[sorting.joint]
        gate = joint if isinstance(joint, Gate) else None
    else:
        gate = next((g for belt in belts if (g := _own_gate(wiring, belt, belts))), None)
    seam = min(belts, key=natural_key)
    inlets = gate.inlets if gate is not None else ()
    if sorting is not None:
        inlets = tuple(siding.supply for siding in sorting.sidings)
    feeds = tuple(supply_of(wiring, inlet, speed) for inlet in inlets)
    taps = tuple(
        Tap(
            picker.name,
            picker.target.device,
            picker.source.device,
            picker.source.index or 0,
            picker.habit,
            picker.hand,
            picker.swing,
            _passed_over(wiring, kind, seam, picker.source),
            picker.takes,
        )
        for picker in wiring.pickers.values()
        if picker.source.device in belts
    )
    entering = _entering(wiring, belts, None if sorting else gate, feeds)
    waste = _waste(wiring, belts) if kind == "loop" else None
    limits = dict(gate.quotas) if gate and gate.rule not in ("open", "ratio-locked") else {}
    stations = dict.fromkeys(tap.target for tap in taps if tap.target in wiring.stations)
    grades = usual_grades(wiring.layout)
    return Ring(
        kind=kind,
        belts=belts,
        lengths=tuple(len(wiring.belts[belt].path) for belt in belts),
        speed=speed,
        seam=seam,
        gate=sorting.joint if sorting else gate.name if gate else None,
        rule=_rule(gate, sorting),
        main=gate.main if gate else None,
        shares=gate.shares if gate else (),
        pattern=gate.pattern if gate and gate.rule == "ratio-locked" else (),
        quotas=tuple((material, limits.get(material)) for material in entering),
        window=gate.window if gate else 0,
        counted=gate is not None and set(gate.loop) == set(belts),
        feeds=feeds,
        taps=taps,
        drawers=tuple(_drawer(wiring, name, grades) for name in sorted(stations, key=natural_key)),
        strangers=tuple(_strangers(wiring, belts, gate, inlets if sorting else ())),
        exits=tuple(_exits(wiring, belts, taps, waste)),
        waste=waste,
        sorting=sorting,
        stacks=tuple((m.name, m.stack) for m in wiring.layout.materials if m.name in entering),
        alone=not any(
            picker.target.device in stations and picker.source.device not in belts
            for picker in wiring.pickers.values()
        ),
    )


def _passed_over(wiring: Wiring, kind: str, seam: str, port: Port) -> bool:
    """Whether nothing ever rests where a picker takes: at the seam of a loop; of a sorted loop,
    which may be broken anywhere, at the end of any belt that goes on by a joint."""
    belt, last = port.device, len(wiring.belts[port.device].path) - 1
    if kind == "sorted loop":
        return port.index == last and not isinstance(wiring.head.get(belt), Divert)
    return kind == "loop" and (belt, port.index) == (seam, last)


def _entering(
    wiring: Wiring, belts: tuple[str, ...], gate: Gate | None, feeds: Iterable[Feed]
) -> tuple[str, ...]:
    """All materials that can come onto the belts: by the gate in its order, else by name."""
    used = [
        feed.material
        for feed in feeds
        if gate is None or gate.rule != "ratio-locked" or feed.belt in gate.pattern
    ]
    pure = dict.fromkeys(material for material in used if material is not None)
    carried = carried_materials(wiring.layout)
    others = sorted({material for belt in belts for material in carried[belt]} - set(pure))
    return (*pure, *others)


def _drawer(wiring: Wiring, name: str, grades: Mapping[str, int]) -> Drawer:
    station, recipe = wiring.stations[name], wiring.recipe[name]
    factor = max((grade.batch_yield for grade in recipe.grades), default=Fraction(0))
    most = recipe.batch_yield * max(Fraction(1), factor)
    caps = dict(station.caps)
    return Drawer(
        name,
        recipe.name,
        max(cycles_of(recipe)),
        cycles_of(recipe)[grades.get(name, 0)],
        tuple(Need(material, amount, caps[material]) for material, amount in recipe.inputs),
        tuple((material, ceil(units * most)) for material, units in recipe.outputs),
        station.outlet_cap,
        any(grade.speed != 1 for grade in recipe.grades),
    )


def _strangers(
    wiring: Wiring, belts: tuple[str, ...], gate: Gate | None, fresh: Sequence[str]
) -> Iterator[str]:
    """What comes onto the loop past its gate, and is not among the belts of `fresh` supply."""
    for belt in belts:
        joint = wiring.tail.get(belt)
        if isinstance(joint, Merge):
            for inlet in joint.inlets:
                if inlet not in (*belts, *fresh):
                    yield f"{joint.name} lets in {inlet}, and nothing counts it"
        elif isinstance(joint, Source):
            yield f"{joint.name} supplies {belt} without a gate"
        elif isinstance(joint, Gate) and joint is not gate:
            yield f"{joint.name} lets in more"
        yield from (
            f"{side.name} lets in {side.inlet}, and nothing counts it"
            for side in wiring.flanks.values()
            if side.main == belt and side.inlet not in belts
        )
        yield from (
            f"{side.name} leads back into the flank of {belt}"
            for side in wiring.flanks.values()
            if side.main == belt and side.inlet in belts
        )
        yield from (
            f"{picker.name} puts down on {belt}"
            for picker in wiring.pickers.values()
            if picker.target.device == belt
        )


def _rule(gate: Gate | None, sorting: Sorting | None) -> str:
    if sorting is not None:
        return "sorted" if sorting.gated and sorting.rule == "ratio-locked" else sorting.rule
    if gate is None:
        return "none"
    return "drained" if gate.main_has_places else gate.rule


def _waste(wiring: Wiring, belts: tuple[str, ...]) -> Waste | None:
    """The one divert of the loop, if all that has no room on its way round goes to a drain, by a
    belt on which nothing ever stands."""
    diverts = [joint for belt in belts if isinstance(joint := wiring.head.get(belt), Divert)]
    if len(diverts) != 1:
        return None
    divert = diverts[0]
    on, *others = divert.outlets
    drain = wiring.head.get(others[0])
    beset = any(side.main == others[0] for side in wiring.flanks.values()) or any(
        picker.target.device == others[0] for picker in wiring.pickers.values()
    )
    slow = wiring.belts[others[0]].speed < wiring.belts[divert.inlet].speed
    if divert.rule != "overflow" or len(others) > 1 or on not in belts or beset or slow:
        return None
    if not isinstance(drain, Drain):
        return None
    return Waste(divert.name, drain.name, belts[belts.index(on) :])


def _exits(
    wiring: Wiring, belts: tuple[str, ...], taps: Iterable[Tap], waste: Waste | None
) -> Iterator[str]:
    """What leaves the loop other than into a station, or to its drain."""
    for belt in belts:
        joint = wiring.head.get(belt)
        if isinstance(joint, Divert) and (waste is None or joint.name != waste.divert):
            away = [outlet for outlet in joint.outlets if outlet not in belts]
            if away:
                yield f"{joint.name} leads away to {', '.join(away)}"
    yield from (
        f"{tap.picker} takes to {tap.target}" for tap in taps if tap.target not in wiring.stations
    )
