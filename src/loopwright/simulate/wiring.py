"""What is joined to what: a layout by name, checked as far as a run needs it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Protocol, TypeVar

from loopwright.layout.layout import (
    Applicator,
    Belt,
    Divert,
    Drain,
    Gate,
    Layout,
    Merge,
    Picker,
    Port,
    Recipe,
    SideMerge,
    Source,
    Station,
    Store,
)
from loopwright.layout.order import NameKey, natural_key
from loopwright.simulate.limit import LayoutError


class Named(Protocol):
    """A device."""

    @property
    def name(self) -> str:
        """Its name."""


Device = TypeVar("Device", bound=Named)


def by_name(devices: Iterable[Device]) -> dict[str, Device]:
    """`devices` under their names, in the natural order of these."""
    return {device.name: device for device in sorted(devices, key=lambda d: natural_key(d.name))}


def inlets_of(joint: Merge | Gate) -> tuple[str, ...]:
    """The inlets of a merge or gate, the main of a gate last."""
    main = joint.main if isinstance(joint, Gate) else None
    return joint.inlets if main is None else (*joint.inlets, main)


class Wiring:
    """The devices of a layout in the natural order of names.

    `head` is what takes carriers off a belt's last cell, `tail` what feeds its first one.
    """

    def __init__(self, layout: Layout) -> None:
        """Sort and join the devices of `layout`.

        Raises
        ------
        LayoutError
            A device refers to something that is not there, or two share one end of a belt.
        """
        self.layout = layout
        self.materials: tuple[str, ...] = tuple(by_name(layout.materials))
        self.rank = {name: number for number, name in enumerate(self.materials)}
        self.belts: dict[str, Belt] = by_name(layout.belts)
        self.sources: dict[str, Source] = by_name(layout.sources)
        self.drains: dict[str, Drain] = by_name(layout.drains)
        self.joints: dict[str, Merge | Gate] = by_name(layout.merges) | by_name(layout.gates)
        self.flanks: dict[str, SideMerge] = by_name(layout.side_merges)
        self.diverts: dict[str, Divert] = by_name(layout.diverts)
        self.stations: dict[str, Station] = by_name(layout.stations)
        self.stores: dict[str, Store] = by_name(layout.stores)
        self.applicators: dict[str, Applicator] = by_name(layout.applicators)
        recipes = by_name(layout.recipes)
        for station in layout.stations:
            if station.recipe not in recipes:
                raise LayoutError(f"{station.name}: no recipe {station.recipe}")
        self.recipe: dict[str, Recipe] = {
            name: recipes[station.recipe] for name, station in self.stations.items()
        }
        self.head: dict[str, Drain | Divert | Merge | Gate | SideMerge] = {}
        self.tail: dict[str, Source | Merge | Gate | Divert] = {}
        self._join()
        self._check_applicators()
        for picker in layout.pickers:
            self._check_port(picker.name, picker.source)
            if picker.target.device not in self.applicators:
                self._check_port(picker.name, picker.target)
        self.picker_rank = {name: rank for rank, name in enumerate(by_name(layout.pickers))}
        ranks = {picker.name: self._pick_key(picker) for picker in layout.pickers}
        self.pickers: dict[str, Picker] = {
            picker.name: picker for picker in sorted(layout.pickers, key=lambda p: ranks[p.name])
        }
        self._check_materials()

    def downstream(self, belt: str) -> tuple[str, ...]:
        """The belts that the head of `belt` feeds."""
        match self.head.get(belt):
            case Merge(outlet=outlet) | Gate(outlet=outlet):
                return (outlet,)
            case SideMerge(main=main):
                return (main,)
            case Divert(outlets=outlets):
                return outlets
        return ()

    def _join(self) -> None:
        heads = self.head
        for joint in self.joints.values():
            self._claim(self.tail, joint.outlet, joint)
            for inlet in inlets_of(joint):
                self._claim(heads, inlet, joint)
            for belt in joint.loop if isinstance(joint, Gate) else ():
                self._need(joint.name, belt)
        for flank in self.flanks.values():
            self._claim(heads, flank.inlet, flank)
            self._need(flank.name, flank.main)
            if not 0 <= flank.index < len(self.belts[flank.main].path):
                raise LayoutError(f"{flank.name}: {flank.main} has no cell {flank.index}")
        for divert in self.diverts.values():
            self._claim(heads, divert.inlet, divert)
            for outlet in divert.outlets:
                self._claim(self.tail, outlet, divert)
        for source in self.sources.values():
            self._claim(self.tail, source.belt, source)
        for drain in self.drains.values():
            self._claim(heads, drain.belt, drain)

    def _need(self, device: str, belt: str) -> None:
        if belt not in self.belts:
            raise LayoutError(f"{device}: no belt {belt}")

    def _claim(self, ends: dict[str, Device], belt: str, device: Device) -> None:
        self._need(device.name, belt)
        if belt in ends:
            end = "head" if ends is self.head else "tail"
            raise LayoutError(f"{ends[belt].name} and {device.name} share the {end} of {belt}")
        ends[belt] = device

    def _check_applicators(self) -> None:
        for one in self.applicators.values():
            self._need(one.name, one.belt)
            if not 0 <= one.index < len(self.belts[one.belt].path):
                raise LayoutError(f"{one.name}: {one.belt} has no cell {one.index}")
            if one.level < 1 or one.cap < 1 or one.dose < 0:
                raise LayoutError(
                    f"{one.name}: a level of {one.level}, a tank of {one.cap}, a dose of {one.dose}"
                )
            if one.rate is not None and one.rate <= 0:
                raise LayoutError(f"{one.name}: a rate of {one.rate} units/s")
        for recipe in self.recipe.values():
            if any(grade.speed <= 0 or grade.batch_yield < 0 for grade in recipe.grades):
                raise LayoutError(f"{recipe.name}: a grade without speed, or with a yield below 0")

    def _check_port(self, picker: str, port: Port) -> None:
        if port.device in self.belts:
            length = len(self.belts[port.device].path)
            if port.index is None or not 0 <= port.index < length:
                raise LayoutError(f"{picker}: {port.device} has no cell {port.index}")
        elif port.device not in self.stations and port.device not in self.stores:
            raise LayoutError(f"{picker}: no belt, station or store {port.device}")

    def _pick_key(self, picker: Picker) -> tuple[int, NameKey, int, NameKey]:
        """Belts first, then stations, then stores; by name, cell, picker name."""
        device = picker.source.device
        kind = 0 if device in self.belts else 1 if device in self.stations else 2
        return kind, natural_key(device), picker.source.index or 0, natural_key(picker.name)

    def _check_materials(self) -> None:
        for device, material in self._mentions():
            if material not in self.rank:
                raise LayoutError(f"{device}: no material {material}")
        for name, recipe in self.recipe.items():
            missing = {material for material, _ in recipe.inputs} - dict(
                self.stations[name].caps
            ).keys()
            if missing:
                raise LayoutError(f"{name}: no cap for {', '.join(sorted(missing))}")

    def _mentions(self) -> Iterator[tuple[str, str]]:
        """Every device, and a material that it names."""
        pairs: Mapping[str, Recipe] = self.recipe
        for source in self.sources.values():
            yield source.name, source.material
        for name, recipe in pairs.items():
            for material, _ in (*recipe.inputs, *recipe.outputs):
                yield name, material
        for one in self.applicators.values():
            for material in (one.agent, *one.materials):
                yield one.name, material
