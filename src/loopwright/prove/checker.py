"""The judge of certificates. It reads the layout document with eyes of its own, works every line
out again and holds each inequality; it shares nothing with what found the proof."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from math import ceil, floor

from loopwright.prove.certificate import Certificate
from loopwright.prove.claim import GIVEN, QUESTION_OF, Claim
from loopwright.prove.refusal import Document, Refusal, need
from loopwright.prove.reread import Loop
from loopwright.prove.resorted import SortedLoop
from loopwright.record import digest

Line = tuple[str, str]


def check_certificate(certificate: Certificate, layout: Document) -> tuple[str, ...]:
    """What is wrong with `certificate` as a proof about the layout document; empty if it holds."""
    faults = []
    if certificate.layout != digest(layout):
        faults.append("the certificate was made for another layout")
    for claim in certificate.claims:
        place = f"{claim.loop}: {claim.question}"
        try:
            read = SortedLoop if claim.theorem in ("siding", "refill") else Loop
            lines = list(_lines(claim, read(layout, claim.loop)))
        except Refusal as refusal:
            faults.append(f"{place}: {refusal}")
            continue
        written = [(reason.topic, reason.text) for reason in claim.reasons]
        for line in lines:
            if line not in written:
                faults.append(f"{place}: missing line `{line[0]} | {line[1]}`")
        faults += [
            f"{place}: wrong line `{line[0]} | {line[1]}`" for line in written if line not in lines
        ]
        if len(written) != len(lines):
            faults.append(f"{place}: {len(written)} lines where {len(lines)} are due")
    return tuple(faults)


def _lines(claim: Claim, loop: Loop) -> Iterator[Line]:
    """The lines that a proof by this theorem has for this loop."""
    need(QUESTION_OF.get(claim.theorem) == claim.question, "the theorem answers no such question")
    inputs = {m for recipe in loop.used().values() for m, _ in recipe["inputs"]}
    other = sorted(inputs - set(loop.materials))
    given = GIVEN[claim.theorem] + (("A6",) if other else ())
    given += ("A9",) if any(feed.way and feed.way.rivals for feed in loop.feeds) else ()
    need(claim.given == given, f"the theorem assumes {', '.join(given)}")
    if isinstance(loop, SortedLoop):
        yield from _siding_lines(loop, other)
        if claim.theorem == "refill":
            yield from _share_lines(loop, other)
        return
    yield from _loop_lines(loop, other)
    need(loop.drained == (claim.theorem in ("drain", "share")), "the theorem is for other loops")
    if loop.drained:
        yield from _places_lines(loop)
    elif claim.theorem == "ratio":
        yield from _ratio_lines(loop, other)
    else:
        yield from _quota_lines(loop)
    if claim.theorem == "flow":
        yield from _flow_lines(loop, other)
    elif claim.theorem == "share":
        yield from _share_lines(loop, other)


def _loop_lines(loop: Loop, other: list[str]) -> Iterator[Line]:
    cells, gate = loop.cells, loop.gate
    parts = " + ".join(f"{b} {n}" for b, n in zip(loop.belts, loop.lengths, strict=True))
    yield "loop", f"{parts} = {cells} cells"
    drive = f"all belts step together, {loop.speed} cells/s; "
    if loop.waste is not None:
        where = loop.waste["name"]
        yield "drive", f"{drive}what has no room at {where} goes to {loop.drain} at once"
        yield "entry", f"by {gate['name']} only, where {gate['main']} has places in the pattern"
    else:
        over = f"the last cell of {loop.seam} is passed over"
        yield "drive", f"{drive}{over}, so {cells} - 1 = {cells - 1} places go round"
        yield "entry", f"by {gate['name']} only, which lets {gate['main']} go first"
    yield from (mixed.line for mixed in loop.mixed)
    yield from _station_lines(loop, other)


def _station_lines(loop: Loop, other: list[str]) -> Iterator[Line]:
    for feed in loop.feeds:
        yield "feed", f"{feed.belt} brings {feed.material} only, {feed.load} units on a carrier"
        if feed.way is not None:
            way = feed.way
            rest = (
                f" > {way.uses} that {way.rivals} stations served before it use"
                if way.rivals
                else ", and nothing is served before"
            )
            yield "way", f"{feed.belt}: {way.dock} brings {way.brings} carriers/s{rest}"
    yield (
        "exit",
        (
            f"into {len(loop.stations)} stations only, by {loop.commit} pickers of habit "
            f"commit and {loop.taps - loop.commit} others, each station with one of the "
            "former"
        ),
    )
    if other:
        yield "elsewhere", f"{', '.join(other)} come to the stations by other ways"
    for name, recipe in loop.used().items():
        for m, amount in recipe["inputs"]:
            cap = min(loop.caps(name, m))
            need(cap >= amount, f"{name}: no station may hold less of {m} than a cycle takes")
            yield "caps", f"{name}: {m} {cap} >= {amount} a cycle"
        room = min(s["outlet_cap"] for s in loop.stations if s["recipe"] == name)
        for m, units in recipe["outputs"]:
            factors = [Fraction(grade["batch_yield"]) for grade in recipe.get("grades", ())]
            most = ceil(units * Fraction(recipe["batch_yield"]) * max([Fraction(1), *factors]))
            need(room >= most, f"{name}: the outlet is too small for a cycle")
            yield "outlet", f"{name}: {m} {room} >= {most} a cycle"
        yield from _whole_lines(loop, name, recipe)


def _whole_lines(loop: Loop, name: str, recipe: Document) -> Iterator[Line]:
    for m, amount in recipe["inputs"]:
        caps = loop.whole_caps(name, m)
        if not caps:
            continue
        load, step = loop.most(m), loop.step(m, amount)
        least = amount + load - step
        need(min(caps) >= least, f"{name}: a carrier of {m} may never fit")
        if least > amount:
            yield (
                "whole",
                f"{name}: {m} {min(caps)} >= {amount} + {load} - {step} = {least}, carriers of "
                f"{load} being taken whole",
            )


def _quota_lines(loop: Loop) -> Iterator[Line]:
    gate, cells = loop.gate, loop.cells
    quotas = {} if gate["rule"] == "open" or loop.locked else dict(gate["quotas"])
    counted = "on all belts of the loop"
    if gate["rule"] == "windowed":
        need(gate["window"] >= cells - 1, "the window is shorter than a turn")
        counted = f"in the last {gate['window']} - 1 = {gate['window'] - 1} actions of the gate"
    elif quotas:
        need(sorted(gate["loop"]) == sorted(loop.belts), "the gate counts other belts")
    for m in loop.materials:
        if m in quotas:
            need(quotas[m] >= 1, f"{m} may never enter")
            yield "quota", f"{m} at most {quotas[m]} carriers, counted {counted}"
    for m in loop.needed():
        others = [k for k in loop.materials if k != m]
        need(all(k in quotas for k in others), f"a material beside {m} has no quota")
        total = sum(quotas[k] for k in others)
        need(total <= cells - 2, f"{m} can be shut out")
        parts = " + ".join(str(quotas[k]) for k in others) if others else "none"
        yield "room", f"{m}: all others {parts} = {total} <= {cells - 2} = {cells} - 2"


def _ratio_lines(loop: Loop, other: list[str]) -> Iterator[Line]:
    recipe, count, cells = loop.alone(other), len(loop.stations), loop.cells
    needs, caps = dict(recipe["inputs"]), dict(loop.stations[0]["caps"])
    need(loop.locked, "the gate keeps no ratio")
    loads = {m: {feed.load for feed in loop.feeds if feed.material == m} for m in needs}
    need(all(len(load) == 1 for load in loads.values()), "fresh carriers differ")
    worth = Fraction(0)
    for m, amount in needs.items():
        (load,), times = loads[m], loop.pattern.count(m)
        need(worth in (0, Fraction(times * load, amount)), "the pattern is not the recipe's")
        worth = Fraction(times * load, amount)
        yield (
            "pattern",
            (
                f"{m} {times} x {load} = {times * load} units, {times * load} / "
                f"{amount} = {worth} cycles"
            ),
        )
    for m in needs:
        some = f" {loop.held(m)}, up to" if loop.held(m) < caps[m] else ""
        yield "hold", f"{count} stations hold{some} {caps[m]} of {m} each"
    for size in range(1, len(needs)):
        for missing in combinations(needs, size):
            n = ceil(Fraction(count, size))
            most = max(
                Fraction(n * (needs[m] - 1) + (count - n) * caps[m], needs[m]) for m in missing
            )
            left = {
                m: max(0, floor(a * (most + worth)) - count * loop.held(m))
                for m, a in needs.items()
                if m not in missing
            }
            total = sum(left.values())
            need(total <= cells - 2, f"the loop may fill up without {missing}")
            told = " + ".join(f"{m} {units}" for m, units in left.items())
            yield (
                "missing",
                (
                    f"{' and '.join(missing)}: at most {most} + {worth} cycles' worth of "
                    f"the others, on the loop {told} = {total} <= {cells - 2} = {cells} "
                    "- 2"
                ),
            )


def _need_even(recipe: Document) -> None:
    """Cycles take the same time whatever the marks."""
    speeds = [Fraction(grade["speed"]) for grade in recipe.get("grades", ())]
    need(all(speed == 1 for speed in speeds), "marks change the cycles")


def _flow_lines(loop: Loop, other: list[str]) -> Iterator[Line]:
    recipe, places, gate = loop.alone(other), loop.cells - 1, loop.gate
    quotas, steps = dict(gate["quotas"]), Fraction(recipe["cycle"]) * loop.speed
    _need_even(recipe)
    need(gate["rule"] == "windowed" and gate["window"] - places in (0, 1), "window of no turn")
    need(all(m in quotas for m in loop.materials), "a material has no quota")
    total, needs = sum(quotas[m] for m in loop.materials), dict(recipe["inputs"])
    for feed in loop.feeds:
        need(feed.prompt, f"{feed.belt} does not keep up")
        yield "prompt", f"{feed.belt} keeps up: {loop.speed} cells/s, its dock as fast"
    offers = {}
    for m in loop.materials:
        less = total - quotas[m]
        fits, over = total <= places, gate["window"] - places
        offers[m] = quotas[m] - over if fits else places - less
        how = f"<= {places}, {quotas[m]} - {over}" if fits else f"> {places}, {places} - {less}"
        yield "offer", f"{m}: quotas {total} {how} = {offers[m]} carriers in every turn"
    for m in loop.materials:
        load = min(feed.load for feed in loop.feeds if feed.material == m)
        use = len(loop.stations) * needs[m] * places / steps
        need(offers[m] * load >= use, f"too little {m} in a turn")
        yield (
            "flow",
            (
                f"{m}: {offers[m]} x {load} = {offers[m] * load} units >= {use} that all "
                f"stations use in a turn of {places} steps"
            ),
        )
    for m, amount in needs.items():
        cap = loop.held(m)
        need(cap * steps / amount >= places, f"{m} runs out within a turn")
        yield (
            "bridge",
            (
                f"{m}: {cap} / {amount} cycles of {steps} steps = {cap * steps / amount} "
                f">= {places}, one turn"
            ),
        )


def _siding_lines(loop: SortedLoop, other: list[str]) -> Iterator[Line]:
    sizes = dict(zip(loop.belts, loop.lengths, strict=True))
    yield "loop", f"{' + '.join(f'{b} {sizes[b]}' for b in loop.row)} = {loop.cells} cells"
    drive = f"all belts step together, {loop.speed} cells/s"
    yield "drive", f"{drive}; no siding is ever full, so the row never stands"
    yield "entry", f"by {loop.gate['name']} only, which waits for what its pattern says"
    yield from _station_lines(loop, other)
    yield from _places_lines(loop)
    for m, (siding, feed, supply, before) in loop.ways.items():
        need(m in loop.pattern, f"{m} has no place")
        cells = sizes[siding]
        yield (
            "siding",
            f"{m}: {siding}, {cells} cells, {before} behind the gate, goes before {supply} into "
            f"{feed}",
        )
        places = before + cells
        held = loop.held_at_most(m, places)
        need(held <= cells - 1, f"{siding} may be full")
        yield (
            "room",
            f"{m}: {before} + {cells} = {places} places of the pattern hold {held} at most <= "
            f"{cells - 1} = {cells} - 1",
        )


def _places_lines(loop: Loop) -> Iterator[Line]:
    for m in loop.needed():
        times = loop.places(m)
        need(times > 0, f"{m} has no place in the pattern")
        yield "places", f"{m}: {times} of {len(loop.pattern)} places"


def _share_lines(loop: Loop, other: list[str]) -> Iterator[Line]:
    recipe, places = loop.alone(other), len(loop.pattern)
    _need_even(recipe)
    steps = Fraction(recipe["cycle"]) * loop.speed
    by_turns = [lane for mixed in loop.mixed for lane in mixed.lanes.values()]
    for feed in loop.feeds:
        need(feed.prompt or feed in by_turns, f"{feed.belt} does not keep up")
        yield "prompt", f"{feed.belt} keeps up: {loop.speed} cells/s, its dock as fast"
    for mixed in loop.mixed:
        mixed.need_full()
        asked, out = loop.gate["pattern"].count(mixed.belt), 1 - mixed.returned
        need(out * places >= asked, f"{mixed.belt} passes too little")
        told = f"{mixed.belt}: {out} of a belt comes out >= {asked} of {places} places"
        yield "rate", told
    for m, amount in recipe["inputs"]:
        times, use = loop.places(m), len(loop.stations) * amount * places / steps
        load = min(feed.load for feed in loop.feeds if feed.material == m)
        load = load if loop.drained or loop.unspent else 1
        need(times * load >= use, f"too little {m} in a pattern")
        yield (
            "flow",
            f"{m}: {times} x {load} = {times * load} units >= {use} that all stations use in "
            f"{places} steps, one pattern",
        )
    for m, amount in recipe["inputs"]:
        held, wait = loop.held(m), loop.wait(m)
        need(held * steps / amount >= wait * places, f"{m} runs out within {wait} patterns")
        told = "one pattern" if wait == 1 else f"{wait} patterns"
        yield (
            "bridge",
            f"{m}: {held} / {amount} cycles of {steps} steps = {held * steps / amount} >= "
            f"{wait * places}, {told}",
        )
