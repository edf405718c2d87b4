"""Stations, stores and the pickers at them -> arrays."""

from __future__ import annotations

from collections import Counter
from itertools import accumulate
from math import ceil, lcm

from loopwright.layout.layout import Picker
from loopwright.simulate import columns as col
from loopwright.simulate.columns import Part, Pickers, Stations
from loopwright.simulate.encode_belts import fit
from loopwright.simulate.kind import Kind
from loopwright.simulate.limit import LayoutError, within
from loopwright.simulate.numbering import Numbering


def encode_stations(names: Numbering, part: Part) -> None:
    """Write all that does not change of stations, stores and pickers."""
    _stations(names, part.stations)
    part.stations.stores["room"] = [store.cap for store in names.stores]
    _pickers(names, part.pickers)
    _tastes(names, part.pickers)
    _sides(names, part)


def _stations(names: Numbering, stations: Stations) -> None:
    rows, inputs, outputs = stations.rows, stations.inputs, stations.outputs
    cycles = {recipe.name: recipe.cycle for recipe in names.recipes}
    ticks = {name: names.whole(cycle, name) for name, cycle in cycles.items()}
    rows["cycle"] = [ticks[recipe.name] for recipe in names.recipes]
    rows["outlet_cap"] = [station.outlet_cap for station in names.stations]
    for side, amounts in (("input", names.inputs), ("output", names.outputs)):
        ends = list(accumulate(map(len, amounts), initial=0))
        rows[f"{side}_first"], rows[f"{side}_last"] = ends[:-1], ends[1:]

    needs = [amount for amounts in names.inputs for amount in amounts]
    caps = [dict(station.caps) for station in names.stations]
    inputs["material"] = [names.kind[Kind(name)] for name, _ in needs]
    inputs["need"] = [need for _, need in needs]
    inputs["room"] = [
        cap[name] for cap, amounts in zip(caps, names.inputs, strict=True) for name, _ in amounts
    ]

    made = [
        (station.name, material, count * recipe.batch_yield, recipe.grades)
        for station, recipe, amounts in zip(
            names.stations, names.recipes, names.outputs, strict=True
        )
        for material, count in amounts
    ]
    ones = [
        lcm(
            names.state.stations[name].kept[material].denominator,
            gain.denominator,
            *((gain * grade.batch_yield).denominator for grade in grades),
        )
        for name, material, gain, grades in made
    ]
    outputs["material"] = [names.kind[Kind(material)] for _, material, _, _ in made]
    outputs["most"] = [ceil(gain) for _, _, gain, _ in made]
    parts = [fit(name, one, gain * one) for (name, _, gain, _), one in zip(made, ones, strict=True)]
    outputs["one"] = [one for one, _ in parts]
    outputs["gain"] = [gain for _, gain in parts]


def _pickers(names: Numbering, pickers: Pickers) -> None:
    rows = pickers.rows
    for end, places in (
        ("source", [names.place(picker.source) for picker in names.pickers]),
        ("target", [names.place(picker.target) for picker in names.pickers]),
    ):
        rows[end] = [kind for kind, _, _ in places]
        rows[f"{end}_at"] = [at for _, at, _ in places]
        rows[f"{end}_cell"] = [cell for _, _, cell in places]
    for picker in names.pickers:
        if picker.habit not in ("commit", "grab"):
            raise LayoutError(f"{picker.name}: no habit {picker.habit}")
        if picker.takes not in ("units", "carriers", "hands"):
            raise LayoutError(
                f"{picker.name}: it takes {picker.takes}, not units, carriers or hands"
            )
        over_belt = picker.target.device in names.belt
        within(picker.name, "a hand", picker.hand, col.COUNT_MASK if over_belt else 2**15 - 1)
    rows["grab"] = [picker.habit == "grab" for picker in names.pickers]
    rows["whole"] = [picker.takes == "carriers" for picker in names.pickers]
    rows["full"] = [picker.takes == "hands" for picker in names.pickers]
    rows["hand"] = [picker.hand for picker in names.pickers]
    rows["swing"] = [
        within(picker.name, "a swing in ticks", names.whole(picker.swing, picker.name), 2**31 - 1)
        for picker in names.pickers
    ]
    ranks = sorted(names.members.pickers, key=names.wiring.picker_rank.__getitem__)
    rank = {name: number for number, name in enumerate(ranks)}
    rows["rank"] = [rank[name] for name in names.members.pickers]
    ports = [picker.source for picker in names.pickers if picker.source.device in names.belt]
    crowd = Counter(ports)
    rows["mates"][: len(ports)] = [  # in pick order these are the first
        within(port.device, "a crowd at a cell", crowd[port], 127) for port in ports
    ]


def _tastes(names: Numbering, pickers: Pickers) -> None:
    tastes = list(dict.fromkeys(names.tastes))
    places = {taste: index for index, taste in enumerate(tastes)}
    pickers.rows["taste"] = [places[taste] for taste in names.tastes]
    pickers.taste_slot[:] = -1
    for row, (palette, inputs) in enumerate(tastes):
        bits = names.bit[palette] if palette >= 0 else {}
        slots = {material: slot for slot, material in enumerate(inputs)}
        for kind, number in names.kind.items():
            if kind.material in slots:
                slot = slots[kind.material]
                pickers.taste_slot[row, number] = slot
                if kind in bits:
                    pickers.taste_bits[row, slot] |= 1 << (bits[kind] + col.COUNT_BITS)


def _sides(names: Numbering, part: Part) -> None:
    """Which pickers work towards each station and store, and which take from it."""
    towards: dict[str, list[str]] = {}
    away: dict[str, list[int]] = {}
    for picker in names.pickers:
        towards.setdefault(picker.target.device, []).append(picker.name)
        away.setdefault(picker.source.device, []).append(names.picker[picker.name])
    alerts = {picker.name: _alert(picker) for picker in names.pickers}
    first = 0
    for rows, devices in (
        (part.stations.rows, names.members.attended),
        (part.stations.stores, names.members.stores),
    ):
        feeders = [
            sorted(towards.get(device, []), key=names.wiring.picker_rank.__getitem__)
            for device in devices
        ]
        ends = list(accumulate(map(len, feeders), initial=first))
        rows["feeder_first"], rows["feeder_last"] = ends[:-1], ends[1:]
        part.pickers.feeders[first : ends[-1]] = [
            names.picker[name] for several in feeders for name in several
        ]
        first = ends[-1]
        rows["alert"] = [
            max((alerts[name] for name in towards.get(device, ())), default=1) for device in devices
        ]
        takers = [away.get(device, []) for device in devices]  # side by side, in pick order
        rows["taker_first"] = [several[0] if several else 0 for several in takers]
        rows["taker_last"] = [several[-1] + 1 if several else 0 for several in takers]


def _alert(picker: Picker) -> int:
    """Room of its target [units] below which `picker` may have left lie what it takes else."""
    if picker.takes == "carriers":
        return col.COUNT_MASK + 1
    return picker.hand if picker.takes == "hands" else 1
