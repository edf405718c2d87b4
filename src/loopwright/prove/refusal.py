"""How the judge of certificates says no."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Document = Mapping[str, Any]


class Refusal(Exception):  # noqa: N818 - it is a verdict, not an error
    """What a proof says does not hold for this layout."""


def need(holds: bool, otherwise: str) -> None:
    """Refuse with the words `otherwise` unless something holds."""
    if not holds:
        raise Refusal(otherwise)
