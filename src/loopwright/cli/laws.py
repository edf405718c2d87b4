"""The laws of the loops of a layout, for people: one loop of each shape."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loopwright.layout import Layout
    from loopwright.prove import Verdict


def laws_text(layout: Layout, verdicts: Sequence[Verdict]) -> str:
    """A table for each shape of loop."""
    from loopwright.cli.output import table_text
    from loopwright.prove.law.document import laws_by_shape
    from loopwright.prove.law.text import HEADS, law_rows

    texts = [
        f"Laws of {ring.name}\n" + table_text(HEADS, law_rows(laws))
        if laws
        else f"{ring.name}: the laws do not speak of such a loop"
        for ring, laws in laws_by_shape(layout, verdicts)
    ]
    return "\n\n".join(texts) or "There are no loops."
