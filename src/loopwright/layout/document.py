"""Layout as a plain document for files, and back."""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import TypeAdapter

from loopwright.layout.layout import Layout


@cache
def _adapter() -> TypeAdapter[Layout]:
    return TypeAdapter(Layout)


def layout_document(layout: Layout) -> dict[str, Any]:
    """JSON-ready form of `layout`: fractions as text such as "16/3", cells as [x, y, level]."""
    document: dict[str, Any] = _adapter().dump_python(layout, mode="json")
    return document


def layout_from_document(document: dict[str, Any]) -> Layout:
    """The layout that `layout_document` wrote.

    Raises
    ------
    pydantic.ValidationError
        The document does not have the shape of a layout.
    """
    return _adapter().validate_python(document)
