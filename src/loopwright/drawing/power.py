"""Power nodes and their links as marks."""

from __future__ import annotations

from collections.abc import Iterator

from loopwright.drawing.belts import centre
from loopwright.drawing.mark import Line, Mark, Symbol
from loopwright.layout.layout import Layout, PowerKind


def kind_text(kind: PowerKind) -> str:
    """What a reader wants to know of a kind of power node."""
    area = (
        f"{kind.cover} x {kind.cover} cells"
        if kind.shape == "square"
        else (f"{kind.cover} cells across")
    )
    limit = "" if kind.supply is None else f", at most {kind.supply} kW"
    return f"{kind.title or kind.name}: supplies {area}, links up to {kind.span} cells{limit}"


def power_marks(layout: Layout) -> Iterator[Mark]:
    """Links as broken lines, nodes as crosses on top of them."""
    at = {node.name: centre(node.at) for node in layout.power_nodes}
    kinds = {kind.name: kind for kind in layout.power_kinds}
    for link in layout.power_links:
        if link.a in at and link.b in at:
            tooltip = f"link of {link.a} and {link.b}"
            yield Line((at[link.a], at[link.b]), "cable", "power", "links", tooltip)
    for node in layout.power_nodes:
        text = kind_text(kinds[node.kind]) if node.kind in kinds else node.kind
        tooltip = f"{node.name}: {text}"
        yield Symbol(at[node.name], "node", 8, "node", "power", "nodes", tooltip)
