"""The devices that want power."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from loopwright.grid import Box
from loopwright.layout.layout import Layout


@dataclass(frozen=True, slots=True)
class Powered:
    """A device that draws `power` [kW] and stands on `box`; `kind` is a word for people."""

    name: str
    kind: str
    box: Box
    power: Fraction


def powered_devices(layout: Layout) -> tuple[Powered, ...]:
    """Stations, gates, pickers and applicators that draw power; all where no power is given."""
    devices = [
        *(Powered(d.name, "station", d.box, d.power) for d in layout.stations),
        *(Powered(d.name, "gate", d.box, d.power) for d in layout.gates),
        *(Powered(d.name, "picker", Box(d.at.x, d.at.y, 1, 1), d.power) for d in layout.pickers),
        *(
            Powered(d.name, "applicator", Box(d.at.x, d.at.y, 1, 1), d.power)
            for d in layout.applicators
        ),
    ]
    drawing = tuple(device for device in devices if device.power > 0)
    return drawing or tuple(devices)
