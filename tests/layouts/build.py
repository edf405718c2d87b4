"""Small layouts in few lines.

Devices are joined by name, as the simulation reads them. Every belt lies in a line of its own and
other devices stand at nominal places, so these layouts are for running, not for drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from fractions import Fraction
from typing import Any

from loopwright.grid import Box, Cell, Heading, run_of
from loopwright.layout.layout import (
    Applicator,
    Belt,
    Divert,
    Drain,
    Gate,
    Grade,
    Layout,
    Material,
    Merge,
    Picker,
    Port,
    Recipe,
    SideMerge,
    Source,
    Station,
    Store,
)
from reference.order import natural

Number = Fraction | int | str
Place = str | tuple[str, int]
"""A station or store by name, or a belt with the index of one of its cells."""


class Build:
    """Collects devices; `layout()` gives them in natural order of names.

    Each method adds one device and returns its name, to be handed to those that join it.
    """

    def __init__(self, materials: Iterable[str] = "A", stack: int = 4) -> None:
        self._devices: dict[str, list[Any]] = {}
        for name in materials:
            self._add("materials", Material(name, name[0], name, stack))

    def layout(self, title: str = "built") -> Layout:
        """The layout of all devices added so far."""
        devices = {
            kind: tuple(sorted(many, key=lambda device: natural(device.name)))
            for kind, many in self._devices.items()
        }
        kinds = {field.name for field in fields(Layout)}
        assert set(devices) <= kinds
        width = max((len(belt.path) for belt in devices.get("belts", ())), default=1)
        height = 2 * len(devices.get("belts", ())) + 1
        devices.setdefault("recipes", ())
        return Layout(title, width, height, Fraction(1), **devices)

    def belt(self, name: str, length: int, speed: Number = 1, role: str = "lane") -> str:
        """A belt of `length` cells."""
        row = 2 * len(self._devices.get("belts", ()))
        path = run_of(Cell(0, row), Heading.EAST, length)
        return self._add("belts", Belt(name, path, Fraction(speed), role))

    def source(
        self,
        belt: str,
        material: str = "A",
        rate: Number | None = None,
        load: int = 1,
        name: str = "",
    ) -> str:
        """A source on the tail of `belt`, named after it unless told otherwise."""
        exact = None if rate is None else Fraction(rate)
        name = name or f"{belt} source"
        return self._add("sources", Source(name, self._tail(belt), belt, material, load, exact))

    def drain(self, belt: str, name: str = "") -> str:
        """A drain at the head of `belt`."""
        return self._add("drains", Drain(name or f"{belt} drain", self._head(belt), belt))

    def merge(
        self, inlets: Sequence[str], outlet: str, rule: str = "alternate", name: str = ""
    ) -> str:
        """A merge; with one inlet a plain joint."""
        name = name or f"{outlet} merge"
        return self._add("merges", Merge(name, self._tail(outlet), tuple(inlets), outlet, rule))

    def side_merge(self, inlet: str, main: str, index: int, name: str = "") -> str:
        """A side merge of `inlet` into cell `index` of `main`."""
        return self._add(
            "side_merges", SideMerge(name or f"{inlet} side merge", inlet, main, index)
        )

    def divert(
        self,
        inlet: str,
        outlets: Sequence[str],
        rule: str = "alternate",
        filters: Mapping[str, str] | None = None,
        name: str = "",
    ) -> str:
        """A divert; `filters` gives the outlet of a material."""
        name, pairs = name or f"{inlet} divert", tuple((filters or {}).items())
        return self._add(
            "diverts", Divert(name, self._head(inlet), inlet, tuple(outlets), rule, pairs)
        )

    def gate(
        self,
        inlets: Sequence[str],
        outlet: str,
        rule: str = "open",
        main: str | None = None,
        shares: Mapping[str, int] | None = None,
        pattern: Sequence[str] = (),
        quotas: Mapping[str, int] | None = None,
        window: int = 0,
        loop: Sequence[str] = (),
        name: str = "",
    ) -> str:
        """A gate onto the tail of `outlet`."""
        return self._add(
            "gates",
            Gate(
                name or f"{outlet} gate",
                _box_at(self._tail(outlet)),
                tuple(inlets),
                outlet,
                rule,
                main,
                tuple((shares or {}).items()),
                tuple(pattern),
                tuple((quotas or {}).items()),
                window,
                tuple(loop),
            ),
        )

    def station(
        self,
        name: str,
        cycle: Number,
        inputs: Mapping[str, int],
        outputs: Mapping[str, int],
        caps: Mapping[str, int] | None = None,
        outlet_cap: int = 8,
        batch_yield: Number = 1,
        grades: Sequence[tuple[Number, Number]] = (),
    ) -> str:
        """A station with a recipe of its own; `caps` are two cycles' inputs unless told, `grades`
        factors on yield and speed."""
        recipe = Recipe(
            f"{name} recipe",
            Fraction(cycle),
            tuple(inputs.items()),
            tuple(outputs.items()),
            Fraction(batch_yield),
            tuple(Grade(Fraction(factor), Fraction(speed)) for factor, speed in grades),
        )
        self._add("recipes", recipe)
        full = caps or {material: 2 * count for material, count in inputs.items()}
        box = _box_at(Cell(0, 0))
        return self._add(
            "stations", Station(name, box, recipe.name, tuple(full.items()), outlet_cap)
        )

    def store(self, name: str, cap: int) -> str:
        """A store for `cap` units."""
        return self._add("stores", Store(name, _box_at(Cell(0, 0)), cap))

    def picker(
        self,
        name: str,
        source: Place,
        target: Place,
        swing: Number = 1,
        hand: int = 1,
        habit: str = "commit",
        takes: str = "units",
    ) -> str:
        """A picker from `source` to `target`."""
        ends = [
            Port(place) if isinstance(place, str) else Port(*place) for place in (source, target)
        ]
        return self._add(
            "pickers",
            Picker(
                name, Cell(0, 0), *ends, Heading.NORTH, Fraction(swing), hand, habit, takes=takes
            ),
        )

    def applicator(
        self,
        name: str,
        place: tuple[str, int],
        agent: str,
        cap: int = 10,
        materials: Sequence[str] = (),
        dose: Number = 1,
        level: int = 1,
        rate: Number | None = None,
    ) -> str:
        """An applicator over a cell of a belt."""
        exact = None if rate is None else Fraction(rate)
        return self._add(
            "applicators",
            Applicator(
                name, Cell(0, 0), *place, agent, cap, tuple(materials), Fraction(dose), level, exact
            ),
        )

    def _add(self, kind: str, device: Any) -> str:
        names = {other.name for many in self._devices.values() for other in many}
        assert kind == "materials" or device.name not in names, f"two devices are {device.name}"
        self._devices.setdefault(kind, []).append(device)
        return str(device.name)

    def _belt(self, name: str) -> Belt:
        return next(belt for belt in self._devices["belts"] if belt.name == name)

    def _tail(self, belt: str) -> Cell:
        return self._belt(belt).path[0]

    def _head(self, belt: str) -> Cell:
        return self._belt(belt).path[-1]


def _box_at(cell: Cell) -> Box:
    return Box(cell.x, cell.y, 1, 1)
