"""The table of docs/theory/mixers.md, made from the search itself: python -m, or make pages."""

from __future__ import annotations

from loopwright.block.mixer import Leaf, Node, design_gate, design_mixer, prove_mixer
from tests.layouts.ratios import Ratio, named, reduced_ratios
from tests.repository.repository import ROOT

PAGE = ROOT / "docs" / "theory" / "mixers.md"
BEGIN, END = "<!-- table: made by make pages -->\n", "<!-- end of table -->\n"

HEADS = ("ratio", "devices", "", "net rate", "tree", "e", "B", "balanced")


def tree_text(tree: Node | Leaf) -> str:
    """In brackets, `*` for feedback."""
    if isinstance(tree, Leaf):
        return tree.material or "*"
    return f"({' '.join(map(tree_text, tree.inlets))})"


def table_text() -> str:
    """The table, one ratio a line: by number of materials, then by total."""
    rows = sorted(reduced_ratios(range(2, 5), 12), key=lambda one: (len(one), sum(one), one))
    lines = ["| " + " | ".join(HEADS) + " |", "|---" * len(HEADS) + "|"]
    return "\n".join([*lines, *map(_row, rows)]) + "\n"


def _row(shares: Ratio) -> str:
    mixer, gate = design_mixer(named(shares)), design_gate(named(shares))
    cells = (
        ":".join(map(str, shares)),
        str(mixer.devices),
        f"{mixer.merges}+{mixer.supply_splits}+{mixer.feedback_splits}",
        str(mixer.net_rate),
        f"`{tree_text(mixer.root)}`",
        str(prove_mixer(mixer).stray),
        str(gate.stray),
        "".join(gate.balanced or ("no",)),
    )
    return "| " + " | ".join(cells) + " |"


def page_text(page: str) -> str:
    """`page` with its table made anew."""
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n{table_text()}\n{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(page_text(PAGE.read_text("utf-8")), encoding="utf-8", newline="\n")
