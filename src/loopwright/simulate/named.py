"""What disturbances name must be there."""

from __future__ import annotations

from collections.abc import Iterable

from loopwright.simulate.disturbance import Disturbances
from loopwright.simulate.limit import LayoutError
from loopwright.simulate.wiring import Wiring


def check_named(wiring: Wiring, told: Disturbances) -> None:
    """Look up every device and material that a disturbance names.

    Raises
    ------
    LayoutError
        One is not there, or is told of twice where once makes sense.
    """
    _check("station", wiring.stations, [entry.station for entry in told.paces], once=True)
    _check("station", wiring.stations, [entry.station for entry in told.failures], once=True)
    _check("picker", wiring.pickers, [entry.picker for entry in told.missed], once=True)
    _check("source", wiring.sources, [entry.source for entry in told.arrivals], once=True)
    _check("source", wiring.sources, [entry.source for entry in told.supplies])
    _check("belt", wiring.belts, [entry.belt for entry in told.slow])
    _check("belt", wiring.belts, [entry.belt for entry in told.foreign])
    _check("belt", wiring.belts, [entry.belt for entry in told.removals])
    _check("material", wiring.rank, [entry.material for entry in told.foreign])


def _check(kind: str, known: Iterable[str], named: list[str], *, once: bool = False) -> None:
    there = set(known)
    for name in named:
        if name not in there:
            raise LayoutError(f"a disturbance names the {kind} {name}, which is not there")
        if once and named.count(name) > 1:
            raise LayoutError(f"{name}: two disturbances of one kind")
