"""What the engine refuses."""

from __future__ import annotations

MOST_KINDS = 28
"""Kinds that the largest format of a cell tells apart."""


class LayoutError(ValueError):
    """The devices of a layout do not fit each other, so that it cannot be run."""


class EngineLimitError(ValueError):
    """A layout that could be run, but not with the number formats of this engine."""


def within(device: str, what: str, amount: int, most: int) -> int:
    """`amount`, which must be from 1 to `most` for the number formats of the engine.

    Raises
    ------
    EngineLimitError
        It is not.
    """
    if not 1 <= amount <= most:
        raise EngineLimitError(f"{device}: {what} of {amount}, from 1 to {most} fit")
    return amount
