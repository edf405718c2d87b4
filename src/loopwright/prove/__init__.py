"""Can a loop ever jam, does it recover? Layout -> Verdicts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from loopwright.prove.certificate import Certificate as Certificate
    from loopwright.prove.certificate import certificate_text as certificate_text
    from loopwright.prove.certificate import read_certificate as read_certificate
    from loopwright.prove.checker import check_certificate as check_certificate
    from loopwright.prove.prove import prove_loops as prove_loops
    from loopwright.prove.rings import find_rings as find_rings
    from loopwright.prove.verdict import Verdict as Verdict

_HOMES = {
    "Certificate": "certificate",
    "Verdict": "verdict",
    "certificate_text": "certificate",
    "check_certificate": "checker",
    "find_rings": "rings",
    "prove_loops": "prove",
    "read_certificate": "certificate",
}


def __getattr__(name: str) -> Any:
    """Load the finder and the engine behind it only when they are asked for."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__} has no attribute {name}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
