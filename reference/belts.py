"""2. Belt steps: what happens at the head, along, at the flanks and at the tail of a belt."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from reference.marks import apply
from reference.site import Cells, Document, Site, in_turn, inlets_of


def step(site: Site, belt: str) -> None:
    """2. Head, advance, flanks, tail, applicators."""
    if site.trouble.stays(belt, None):
        return
    cells: Cells = site.now["belts"][belt]
    joints = site.now["counters"]["joints"]

    if belt in site.drain_at:
        drain(site, site.drain_at[belt], cells)
    elif belt in site.divert_at:
        divert(site, site.divert_at[belt], cells)

    for index in reversed(range(len(cells) - 1)):
        if cells[index + 1] is None and not site.trouble.stays(belt, index):
            cells[index + 1], cells[index] = cells[index], None

    for flank in site.flanks_of[belt]:
        index = flank["index"]
        if cells[index] is None:
            joints[flank["name"]]["offered"] += 1
            if head_material(site, flank["inlet"]):
                pull(site, flank["name"], [flank["inlet"]], 0, cells, index)

    if belt in site.source_at:
        supply(site, site.source_at[belt], cells)
    elif belt in site.merge_at and cells[0] is None:
        joints[site.merge_at[belt]["name"]]["offered"] += 1
        merge(site, site.merge_at[belt], cells)
    elif belt in site.gate_at and cells[0] is None:
        joints[site.gate_at[belt]["name"]]["offered"] += 1
        admit(site, site.gate_at[belt], cells)

    for applicator in site.over[belt]:
        apply(site, applicator, cells)


def head_material(site: Site, belt: str) -> str | None:
    """What the head cell carries, if anything."""
    carrier = site.now["belts"][belt][-1]
    return str(carrier[0]) if carrier else None


def pull(
    site: Site, joint: str, inlets: Sequence[str], number: int, cells: Cells, index: int = 0
) -> None:
    """Pass the head carrier of an inlet to a cell, and count it."""
    inlet: Cells = site.now["belts"][inlets[number]]
    cells[index], inlet[-1] = inlet[-1], None
    site.now["counters"]["joints"][joint]["passed"][number] += 1


def drain(site: Site, device: Document, cells: Cells) -> None:
    """2.1 A drain takes the carrier."""
    count = site.now["counters"]["drains"][device["name"]]
    if cells[-1]:
        material, units, _ = cells[-1]
        count["carriers"][material] = count["carriers"].get(material, 0) + 1
        count["units"][material] = count["units"].get(material, 0) + units
        cells[-1] = None


def divert(site: Site, device: Document, cells: Cells) -> None:
    """2.1 A divert passes the carrier to an outlet with an empty tail cell."""
    if cells[-1] is None:
        return
    name, outlets = device["name"], device["outlets"]
    if device["rule"] == "material":
        outlet = dict(device["filters"]).get(cells[-1][0], outlets[-1])
        choice = [outlets.index(outlet)]
    else:
        choice = in_turn(site.now["turns"][name], len(outlets))

    for number in choice:
        outlet_cells: Cells = site.now["belts"][outlets[number]]
        if outlet_cells[0] is None:
            outlet_cells[0], cells[-1] = cells[-1], None
            site.now["counters"]["diverts"][name][number] += 1
            if device["rule"] == "alternate":
                site.now["turns"][name] = (number + 1) % len(outlets)
            return


def supply(site: Site, source: Document, cells: Cells) -> None:
    """2.4 A source puts a full load on an empty tail cell, as far as its credit goes."""
    name, credit = source["name"], site.now["credits"]
    count = site.now["counters"]["sources"][name]
    if name in site.now["arrivals"]:
        site.trouble.take_arrivals(name)
    if site.in_outage(name):
        return
    if name in credit:
        if name not in site.now["arrivals"]:
            rate = site.trouble.rate(name, site.now["tick"])
            gain = rate * site.step_time[source["belt"]]
            credit[name] = min(credit[name] + gain, 1 + gain)
        if credit[name] < 1:
            return
    if cells[0]:
        count["refused"] += 1
        return
    cells[0] = [source["material"], source["load"], 0]
    count["carriers"] += 1
    count["units"] += source["load"]
    if name in credit:
        credit[name] -= 1


def merge(site: Site, device: Document, cells: Cells) -> None:
    """2.4 The first inlet with a carrier passes it: in turn, or by priority as listed."""
    name, inlets = device["name"], device["inlets"]
    for number in in_turn(site.now["turns"][name], len(inlets)):
        if head_material(site, inlets[number]):
            pull(site, name, inlets, number, cells)
            if device["rule"] == "alternate":
                site.now["turns"][name] = (number + 1) % len(inlets)
            return


def admit(site: Site, gate: Document, cells: Cells) -> None:
    """2.4 Main passes first, unless it has places in the pattern; else a carrier that the gate's
    rule admits."""
    inlets = inlets_of(gate)
    first = gate["main"] if not has_places(gate) else None
    if first and head_material(site, first):
        pull(site, gate["name"], inlets, len(inlets) - 1, cells)
    else:
        number = fresh_inlet(site, gate)
        if number is not None:
            pull(site, gate["name"], inlets, number, cells)
    if gate["rule"] == "windowed":
        window = site.now["windows"][gate["name"]]
        window.append(cells[0] and cells[0][0])
        window.pop(0)


def has_places(gate: Document) -> bool:
    """Whether main takes its turn in the pattern, in place of going first."""
    return gate["rule"] == "ratio-locked" and gate["main"] in gate["pattern"]


def fresh_inlet(site: Site, gate: Document) -> int | None:
    """The number of the inlet that passes, if any; the gate's turn or place moves on.

    Places of main are left out while it has no carrier.
    """
    name, inlets, turns = gate["name"], gate["inlets"], site.now["turns"]
    if gate["rule"] == "ratio-locked":
        pattern = gate["pattern"]
        while pattern[turns[name]] == gate["main"] and head_material(site, gate["main"]) is None:
            turns[name] = (turns[name] + 1) % len(pattern)
        inlet = pattern[turns[name]]
        if head_material(site, inlet) is None:
            return None
        turns[name] = (turns[name] + 1) % len(pattern)
        return int(inlets_of(gate).index(inlet))

    ready = {
        number: material
        for number in in_turn(turns[name], len(inlets))
        if (material := head_material(site, inlets[number])) and admissible(site, gate, material)
    }
    if not ready:
        return None
    if gate["rule"] == "scarcest-first":
        shares = dict(gate["shares"])
        # The turn of such a gate stays 0, so that the first of equals is the first inlet listed.
        return min(
            ready,
            key=lambda number: Fraction(
                on_loop(site, gate, ready[number]), shares.get(ready[number], 1)
            ),
        )
    first = next(iter(ready))
    turns[name] = (first + 1) % len(inlets)
    return first


def admissible(site: Site, gate: Document, material: str) -> bool:
    """Whether the gate lets another carrier of `material` in now."""
    quotas: dict[str, int] = dict(gate["quotas"])
    if gate["rule"] == "open" or material not in quotas:
        return True
    if gate["rule"] == "windowed":
        return bool(site.now["windows"][gate["name"]].count(material) < quotas[material])
    return on_loop(site, gate, material) < quotas[material]


def on_loop(site: Site, gate: Document, material: str) -> int:
    """Carriers of `material` on the belts of the gate's loop."""
    cells = [cell for belt in gate["loop"] for cell in site.now["belts"][belt]]
    return sum(1 for cell in cells if cell and cell[0] == material)
