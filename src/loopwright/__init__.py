"""Loopwright designs belt-fed production blocks, from one text file to drawings and proofs.

The functions of the story stand here; each is loaded when first used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loopwright.block import size_block
    from loopwright.compare import compare_designs
    from loopwright.layout import place_layout
    from loopwright.model import read_project
    from loopwright.plan import solve_plan
    from loopwright.prove import prove_loops
    from loopwright.report import write_report
    from loopwright.simulate import simulate_layout
    from loopwright.studio import serve_studio

__version__ = "0.1.0"

_ROOMS = {
    "read_project": "model",
    "solve_plan": "plan",
    "size_block": "block",
    "place_layout": "layout",
    "simulate_layout": "simulate",
    "prove_loops": "prove",
    "compare_designs": "compare",
    "write_report": "report",
    "serve_studio": "studio",
}

__all__ = [  # noqa: RUF022 - in the order of the story
    "read_project",
    "solve_plan",
    "size_block",
    "place_layout",
    "simulate_layout",
    "prove_loops",
    "compare_designs",
    "write_report",
    "serve_studio",
]


def __getattr__(name: str) -> object:
    """The function `name`, loaded from its room."""
    if name not in _ROOMS:
        raise AttributeError(f"module 'loopwright' has no attribute {name!r}")
    found: object = getattr(import_module(f"loopwright.{_ROOMS[name]}"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """What the package offers."""
    return [*__all__, "__version__"]
