"""1. Completions, 3. Drops and picks, 4. Account: stations, stores and the pickers between them."""

from __future__ import annotations

from math import ceil

from reference.marks import add, coming_grade, take_lowest, total
from reference.site import Carrier, Document, Site


def end_cycles(site: Site) -> None:
    """1.1 Outputs come to the outlet in whole units; the fraction is kept over."""
    for name in site.stations:
        station, counters = site.now["stations"][name], site.now["counters"]["stations"][name]
        if station["due"] == site.now["tick"]:
            for material, count in site.batch(name, station["grade"]).items():
                made = station["kept"][material] + count
                station["outlet"][material] += int(made)
                station["kept"][material] = made - int(made)
            counters["ended"] += 1
            if station["grade"]:
                counters["graded"][station["grade"] - 1] += 1
            station.update(due=None, grade=0)


def end_swings(site: Site) -> None:
    """1.2 Units on commit arrive; a grabbing hand is holding, a hand over a belt is placing."""
    for name, picker in site.pickers.items():
        hand, target = site.now["pickers"][name], picker["target"]["device"]
        if hand["due"] == site.now["tick"]:
            hand["due"] = None
            if hand["count"] == 0:  # a missed pick
                hand["phase"] = "idle"
            elif target in site.belts:
                hand["phase"] = "placing"
            elif picker["habit"] == "grab":
                hand["phase"] = "holding"
            else:
                put(site, target, hand, hand["count"])


def deliver(site: Site) -> None:
    """1.3, 1.5 Holding pickers put in as many units as there is room."""
    for name, picker in site.pickers.items():
        hand, target = site.now["pickers"][name], picker["target"]["device"]
        if hand["phase"] == "holding":
            put(site, target, hand, min(hand["count"], room(site, target, hand["material"])))


def start_cycles(site: Site) -> None:
    """1.4 Idle stations with all inputs of a cycle, and room for its outputs, start it."""
    for name, inputs in site.inputs.items():
        station, cap = site.now["stations"][name], site.stations[name]["outlet_cap"]
        lots = station["inputs"]
        if station["due"] is not None or station["down"] is not None:
            continue
        if any(total(lots[material]) < count for material, count in inputs.items()):
            continue
        grade = coming_grade(site, name)
        free = all(
            station["outlet"][material] + ceil(count) <= cap
            for material, count in site.batch(name, grade).items()
        )
        if free:
            for material, count in inputs.items():
                take_lowest(lots[material], count)
            station.update(due=site.now["tick"] + site.trouble.cycle(name, grade), grade=grade)
            site.now["counters"]["stations"][name]["started"] += 1


def room(site: Site, device: str, material: str) -> int:
    """Room of a station for `material`, or of a store or tank: cap - held - under way."""
    under_way = [site.now["pickers"][name] for name in site.committed[device]]
    if device in site.stores:
        cap, held = site.stores[device]["cap"], sum(map(total, site.now["stores"][device].values()))
    elif device in site.applicators:
        cap, held = site.applicators[device]["cap"], site.now["applicators"][device]["held"]
    else:
        cap = dict(site.stations[device]["caps"])[material]
        held = total(site.now["stations"][device]["inputs"][material])
        under_way = [hand for hand in under_way if hand["material"] == material]
    return int(cap - held - sum(hand["count"] for hand in under_way))


def put(site: Site, device: str, hand: Document, count: int) -> None:
    """Put `count` units from a hand into a station, store or tank; an emptied hand is idle."""
    material = hand["material"]
    if device in site.stations:
        mark = hand["mark"] if site.grades[device] else 0
        add(site.now["stations"][device]["inputs"][material], mark, count)
    elif device in site.applicators:
        site.now["applicators"][device]["held"] += count
    elif count:
        add(site.now["stores"][device].setdefault(material, {}), hand["mark"], count)
    hand["count"] -= count
    if hand["count"] == 0:
        hand.update(phase="idle", material=None, mark=0)


def pick(site: Site, name: str) -> None:
    """3.2 An idle picker takes the first material that its target wants and has room for."""
    picker, hand = site.pickers[name], site.now["pickers"][name]
    target = picker["target"]["device"]
    if hand["phase"] != "idle":
        return
    for material, there, mark in offers(site, picker["source"]):
        if target in site.stations and material not in site.inputs[target]:
            continue
        if target in site.applicators and material != site.applicators[target]["agent"]:
            continue
        count = min(picker["hand"], there)
        if picker["habit"] == "commit" and target not in site.belts:
            count = min(count, room(site, target, material))
        if picker["takes"] == "carriers" and picker["source"]["device"] in site.belts:
            count = there if there <= count else 0
        if picker["takes"] == "hands" and count < picker["hand"]:
            count = 0
        if count > 0:
            due = site.now["tick"] + site.swing[name]
            if site.trouble.misses(name):
                hand.update(phase="swinging", due=due)
                return
            take(site, picker["source"], material, count, mark)
            hand.update(phase="swinging", material=material, count=count, mark=mark, due=due)
            site.now["counters"]["picks"][name] += 1
            return


def offers(site: Site, port: Document) -> list[Carrier]:
    """What may be taken at a port, with units and mark, in material order, low marks first."""
    device = port["device"]
    if device in site.belts:
        return list(filter(None, [site.now["belts"][device][port["index"]]]))
    if device in site.stations:
        there = site.now["stations"][device]["outlet"]
        lots = {material: {0: units} for material, units in there.items()}
    else:
        lots = site.now["stores"][device]
    return [
        [material, units, mark]
        for material in site.materials
        for mark, units in sorted(lots.get(material, {}).items())
        if units
    ]


def take(site: Site, port: Document, material: str, count: int, mark: int) -> None:
    """Take units at a port. At 0 units a carrier is gone."""
    device = port["device"]
    if device in site.belts:
        cells = site.now["belts"][device]
        left = cells[port["index"]][1] - count
        cells[port["index"]] = [material, left, mark] if left else None
    elif device in site.stations:
        site.now["stations"][device]["outlet"][material] -= count
    else:
        site.now["stores"][device][material][mark] -= count


def drop(site: Site) -> None:
    """3.1 A placing picker puts its units on its target cell once that is empty."""
    for name, picker in site.pickers.items():
        hand, target = site.now["pickers"][name], picker["target"]
        if hand["phase"] == "placing":
            cells = site.now["belts"][target["device"]]
            if cells[target["index"]] is None:
                cells[target["index"]] = [hand["material"], hand["count"], hand["mark"]]
                hand.update(phase="idle", material=None, count=0, mark=0)


def account(site: Site) -> None:
    """4. Each station counts the tick as down, busy, starved or blocked."""
    for name, inputs in site.inputs.items():
        station = site.now["stations"][name]
        count = site.now["counters"]["stations"][name]
        held = station["inputs"]
        lacking = [material for material in inputs if total(held[material]) < inputs[material]]
        site.trouble.wear(name)
        if station["down"] is not None:
            count["down"] += 1
        elif station["due"] is not None:
            count["busy"] += 1
        elif lacking:
            count["starved"][lacking[0]] += 1
        else:
            count["blocked"] += 1
