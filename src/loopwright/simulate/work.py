"""The one call into the compiled engine."""

from __future__ import annotations

from loopwright.simulate.encode import Plant


def run_plant(plant: Plant, until: int) -> None:
    """Carry out the ticks up to `until` in every part; parts do not touch each other."""
    for engine in plant.engines:
        engine.run_to(until)
