"""What happens to every item? Layout and Scenario -> Run."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from loopwright.simulate.simulate import simulate_layout as simulate_layout
    from loopwright.simulate.start import empty_state as empty_state

_HOMES = {"simulate_layout": "simulate", "empty_state": "start"}


def __getattr__(name: str) -> Any:
    """Load the engine only when it is asked for."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__} has no attribute {name}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
