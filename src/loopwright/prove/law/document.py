"""The laws of the loops of a layout as a document: one loop of each shape."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from loopwright.layout.layout import Layout
from loopwright.prove.law.law import Law
from loopwright.prove.law.laws import laws_of
from loopwright.prove.law.text import law_rows
from loopwright.prove.ring import Ring
from loopwright.prove.verdict import Verdict
from loopwright.simulate.reading.document import plain


def laws_document(layout: Layout, verdicts: Sequence[Verdict]) -> list[dict[str, Any]]:
    """The laws of a loop of each shape, for programs; `rows` say them in the words of the table."""
    return [
        {"loop": ring.name, "laws": [plain(law) for law in laws], "rows": law_rows(laws)}
        for ring, laws in laws_by_shape(layout, verdicts)
    ]


def laws_by_shape(
    layout: Layout, verdicts: Sequence[Verdict]
) -> Iterator[tuple[Ring, tuple[Law, ...]]]:
    """A loop of each shape with its laws."""
    rings = {verdict.ring.shape(): verdict.ring for verdict in reversed(verdicts)}
    for ring in reversed(rings.values()):
        yield ring, laws_of(layout, ring, verdicts)
