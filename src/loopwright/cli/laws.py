"""The laws of the loops of a layout, for people and for programs: one loop of each shape."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from loopwright.layout import Layout
    from loopwright.prove import Verdict
    from loopwright.prove.law import Law
    from loopwright.prove.ring import Ring


def laws_text(layout: Layout, verdicts: Sequence[Verdict]) -> str:
    """A table for each shape of loop."""
    from loopwright.cli.output import table_text
    from loopwright.prove.law.text import HEADS, law_rows

    texts = [
        f"Laws of {ring.name}\n" + table_text(HEADS, law_rows(laws))
        if laws
        else f"{ring.name}: the laws do not speak of such a loop"
        for ring, laws in _by_shape(layout, verdicts)
    ]
    return "\n\n".join(texts) or "There are no loops."


def laws_document(layout: Layout, verdicts: Sequence[Verdict]) -> list[dict[str, Any]]:
    """The laws of a loop of each shape, for programs."""
    from loopwright.cli.output import plain_document

    return [
        {"loop": ring.name, "laws": [plain_document(law) for law in laws]}
        for ring, laws in _by_shape(layout, verdicts)
    ]


def _by_shape(
    layout: Layout, verdicts: Sequence[Verdict]
) -> Iterator[tuple[Ring, tuple[Law, ...]]]:
    from loopwright.prove.law import laws_of

    rings = {verdict.ring.shape(): verdict.ring for verdict in reversed(verdicts)}
    for ring in reversed(rings.values()):
        yield ring, laws_of(layout, ring, verdicts)
