"""What the engine refuses."""

from __future__ import annotations


class LayoutError(ValueError):
    """The devices of a layout do not fit each other, so that it cannot be run."""


class EngineLimitError(ValueError):
    """A layout that could be run, but not with the number formats of this engine."""
