"""What stands in the way of a proof."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Why no theorem applies, and what to change; without a remedy where there is none to name."""

    text: str
    remedy: str = ""
