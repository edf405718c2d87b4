"""A tree of sections as the text of a project file, in order and with comments."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from loopwright.model.source import Mapping, Tree
from loopwright.model.writing import flow_text, scalar_text

WIDTH = 100

_ABOUT = {
    "project": "What this is.",
    "materials": "What travels. What is left out has a default.",
    "processes": "What is done: inputs become outputs in one cycle on a station.",
    "equipment": "What can be bought.",
    "demand": "What must come out.",
}


def tree_text(
    tree: Mapping, head: Sequence[str], missing: Iterable[tuple[str, Sequence[str]]]
) -> str:
    """The file: comment lines `head`, the sections, and lines of comment for what is missing.

    `missing` holds pairs of a section and lines to write there once they are filled in.
    """
    parts = ["\n".join(f"# {line}".rstrip() for line in head)]
    waiting = dict(missing)
    for section, about in _ABOUT.items():
        lines = [f"# {about}"]
        node = tree.entries.get(section)
        if section == "equipment" and isinstance(node, Mapping):
            lines.append("equipment:")
            for key, entries in node.entries.items():
                lines += [f"  {key}:", *_entries(entries, 4)]
        elif isinstance(node, Mapping):
            lines += [f"{section}:", *_entries(node, 2)]
        gaps = [(path, text) for path, text in waiting.items() if path.split(".")[0] == section]
        for path, text in gaps:
            lines += [f"# TODO {path}: {text[0]}", *(f"# {line}".rstrip() for line in text[1:])]
        if len(lines) > 1:
            parts.append("\n".join(lines))
    return "\n\n".join(parts) + "\n"


def _entries(node: Tree, indent: int) -> list[str]:
    """Entries of a section: each on one line where it fits."""
    if not isinstance(node, Mapping):
        return []
    lines = []
    for key, entry in node.entries.items():
        line = f"{' ' * indent}{scalar_text(key)}: {flow_text(entry)}"
        if len(line) <= WIDTH or not isinstance(entry, Mapping):
            lines.append(line)
            continue
        lines.append(f"{' ' * indent}{scalar_text(key)}:")
        lines += [
            f"{' ' * (indent + 2)}{scalar_text(name)}: {flow_text(value)}"
            for name, value in entry.entries.items()
        ]
    return lines
