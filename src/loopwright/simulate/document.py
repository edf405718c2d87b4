"""State as a plain document for files and for other engines, and back."""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import TypeAdapter

from loopwright.simulate.state import State


@cache
def _adapter() -> TypeAdapter[State]:
    return TypeAdapter(State)


def state_document(state: State) -> dict[str, Any]:
    """JSON-ready form of `state`; fractions as text."""
    document: dict[str, Any] = _adapter().dump_python(state, mode="json")
    return document


def state_from_document(document: dict[str, Any]) -> State:
    """The state that `state_document` wrote.

    Raises
    ------
    pydantic.ValidationError
        The document does not have the shape of a state.
    """
    return _adapter().validate_python(document)
