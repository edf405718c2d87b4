"""Values and trees as YAML in one line."""

from __future__ import annotations

from loopwright.model.source import Items, Mapping, Scalar, Tree

_NULLS = {"", "~", "null", "Null", "NULL"}
_PLAIN = frozenset(" _-+./*%()")


def flow_text(node: Tree) -> str:
    """A tree in braces and brackets."""
    if isinstance(node, Mapping):
        pairs = (f"{scalar_text(key)}: {flow_text(entry)}" for key, entry in node.entries.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(node, Items):
        return "[" + ", ".join(map(flow_text, node.items)) + "]"
    assert isinstance(node, Scalar)
    return scalar_text(node.text or "")


def scalar_text(text: str) -> str:
    """`text` as YAML: plain where nothing in it means something to YAML, else in quotes."""
    plain = all(character.isalnum() or character in _PLAIN for character in text)
    if plain and text not in _NULLS and text[0].isalnum() and text[-1] != " ":
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
