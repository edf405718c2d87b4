"""Stations, stores and the pickers at them -> arrays."""

from __future__ import annotations

from collections import Counter
from math import lcm

from loopwright.simulate import columns as col
from loopwright.simulate.columns import Part, Pickers, Stations
from loopwright.simulate.encode_belts import fit
from loopwright.simulate.limit import LayoutError, within
from loopwright.simulate.numbering import Numbering


def encode_stations(names: Numbering, part: Part) -> None:
    """Write all that does not change of stations, stores and pickers."""
    _stations(names, part.stations)
    for row, store in zip(part.stations.stores, names.stores, strict=True):
        row.room = store.cap
    _pickers(names, part.pickers)
    _tastes(names, part.pickers)
    _sides(names, part)


def _stations(names: Numbering, stations: Stations) -> None:
    inputs = outputs = 0
    rows = zip(stations.rows, names.stations, names.recipes, strict=True)
    for number, (row, station, recipe) in enumerate(rows):
        row.cycle = names.whole(recipe.cycle, station.name)
        row.outlet_cap = station.outlet_cap
        caps = dict(station.caps)
        row.input_first, row.output_first = inputs, outputs
        for material, need in names.inputs[number]:
            entry = stations.inputs[inputs]
            entry.material, entry.need = names.material[material], need
            entry.room = caps[material]
            inputs += 1
        kept = names.state.stations[station.name].kept
        for material, count in names.outputs[number]:
            entry = stations.outputs[outputs]
            gain = count * recipe.batch_yield
            one = lcm(gain.denominator, kept[material].denominator)
            entry.material = names.material[material]
            entry.one, entry.gain = fit(station.name, one, gain * one)
            entry.most = -(-gain.numerator // gain.denominator)
            outputs += 1
        row.input_last, row.output_last = inputs, outputs


def _pickers(names: Numbering, pickers: Pickers) -> None:
    ranks = sorted(names.members.pickers, key=names.wiring.picker_rank.__getitem__)
    rank = {name: number for number, name in enumerate(ranks)}
    places = [(picker.source.device, picker.source.index) for picker in names.pickers]
    crowd = Counter(places)
    for row, picker, place in zip(pickers.rows, names.pickers, places, strict=True):
        if picker.habit not in ("commit", "grab"):
            raise LayoutError(f"{picker.name}: no habit {picker.habit}")
        swing = names.whole(picker.swing, picker.name)
        row.swing = within(picker.name, "a swing in ticks", swing, 2**31 - 1)
        row.source, row.source_at, row.source_cell = names.place(picker.source)
        row.target, row.target_at, row.target_cell = names.place(picker.target)
        most = col.COUNT_MASK if row.target == col.AT_BELT else 2**15 - 1
        row.hand = within(picker.name, "a hand", picker.hand, most)
        row.grab = picker.habit == "grab"
        row.rank = rank[picker.name]
        if row.source == col.AT_BELT:
            row.mates = within(picker.name, "a crowd at its cell", crowd[place], 127)
            pickers.at_belts[0] += 1


def _tastes(names: Numbering, pickers: Pickers) -> None:
    tastes = list(dict.fromkeys(names.tastes))
    number = {taste: index for index, taste in enumerate(tastes)}
    pickers.rows["taste"] = [number[taste] for taste in names.tastes]
    pickers.taste_slot[:] = -1
    for row, (palette, inputs) in enumerate(tastes):
        for slot, material in enumerate(inputs):
            pickers.taste_slot[row, names.material[material]] = slot
            if palette >= 0 and material in names.bit[palette]:
                bit = names.bit[palette][material]
                pickers.taste_bits[row, slot] = 1 << (bit + col.COUNT_BITS)


def _sides(names: Numbering, part: Part) -> None:
    """Which pickers work towards each station and store, and which take from it."""
    towards: dict[str, list[str]] = {}
    away: dict[str, list[int]] = {}
    for picker in names.pickers:
        towards.setdefault(picker.target.device, []).append(picker.name)
        away.setdefault(picker.source.device, []).append(names.picker[picker.name])
    first = 0
    for rows, devices in (
        (part.stations.rows, names.members.stations),
        (part.stations.stores, names.members.stores),
    ):
        for row, device in zip(rows, devices, strict=True):
            feeders = sorted(towards.get(device, []), key=names.wiring.picker_rank.__getitem__)
            row.feeder_first, row.feeder_last = first, first + len(feeders)
            part.pickers.feeders[first : row.feeder_last] = [names.picker[name] for name in feeders]
            first = row.feeder_last
            takers = away.get(device, [])  # side by side, for pickers are in pick order
            if takers:
                row.taker_first, row.taker_last = takers[0], takers[-1] + 1
