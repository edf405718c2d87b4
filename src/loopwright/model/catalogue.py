"""`use`: equipment from a catalogue file, taken into the tree of the project."""

from __future__ import annotations

import os
from collections.abc import Container
from pathlib import Path
from typing import TypeVar

from loopwright.finding import Finding, new_finding
from loopwright.model.load import load_text
from loopwright.model.parse import parse_text
from loopwright.model.source import Mapping, Scalar

_PATH = "equipment.use"
Entry = TypeVar("Entry")


def with_catalogue(tree: Mapping, folder: Path | None) -> tuple[Mapping, list[Finding]]:
    """The project's tree with the catalogue it names merged in; what the project says goes first.

    Nodes of the catalogue keep their own file and line.
    """
    equipment = tree.entries.get("equipment")
    named = equipment.entries.get("use") if isinstance(equipment, Mapping) else None
    if not isinstance(equipment, Mapping) or not isinstance(named, Scalar) or not named.text:
        return tree, []
    path, problem = _locate(named.text, folder)
    place = named.spot.place(_PATH)
    if path is None:
        return tree, [new_finding("LW120", problem, place, value=named.text[:80])]
    shown = os.path.join(os.path.dirname(named.spot.file), named.text)  # noqa: PTH118, PTH120
    text, found = load_text(path, shown)
    if text is None:
        findings = list(found)
        if not path.is_file():
            message = f"the catalogue {named.text[:40]!r} cannot be read: {found[0].message}"
            remedy = "name a file in the project's folder"
            findings = [new_finding("LW120", message, place, value=named.text[:80], remedy=remedy)]
        return tree, findings
    other, found = parse_text(text, shown)
    findings = list(found)
    section = other.entries.get("equipment") if isinstance(other, Mapping) else None
    if not isinstance(other, Mapping) or not isinstance(section, Mapping):
        if not findings:
            message = f"the catalogue {named.text[:40]!r} has no section `equipment:`"
            remedy = "let it begin with `equipment:`"
            findings.append(
                new_finding("LW120", message, place, value=named.text[:80], remedy=remedy)
            )
        return tree, findings
    for key in other.entries:
        if key != "equipment":
            message = f"the key {key[:40]!r} does not belong in a catalogue"
            where = other.keys[key].place(key)
            findings.append(new_finding("LW111", message, where, value=key, allowed="equipment"))
    if "use" in section.entries:
        message = "a catalogue cannot use another one"
        where = section.keys["use"].place(_PATH)
        findings.append(new_finding("LW120", message, where, remedy="take `use` out here"))
        del section.entries["use"], section.keys["use"]
    return _replaced(tree, "equipment", _merged(equipment, section)), findings


def _locate(name: str, folder: Path | None) -> tuple[Path | None, str]:
    shown = repr(name[:40])
    if folder is None:
        return None, "a catalogue can only be used by a project in a file"
    if "\x00" in name or Path(name).is_absolute() or "\\" in name or ":" in name:
        return None, f"{shown} is not a path inside the project's folder"
    try:
        home = folder.resolve()
        path = (home / name).resolve()
    except (OSError, RuntimeError):
        return None, f"{shown} is not a usable path"
    if home not in path.parents:
        return None, f"{shown} leads out of the project's folder"
    return path, ""


def _merged(first: Mapping, second: Mapping) -> Mapping:
    """Both sections in one: whole entries of `first` before those of `second`."""
    merged = Mapping(first.spot, dict(first.entries), dict(first.keys), first.size)
    for key, node in second.entries.items():
        mine = merged.entries.get(key)
        if mine is None:
            merged.entries[key], merged.keys[key] = node, second.keys[key]
        elif isinstance(mine, Mapping) and isinstance(node, Mapping):
            entries = {**mine.entries, **_without(node.entries, mine.entries)}
            keys = {**mine.keys, **_without(node.keys, mine.keys)}
            merged.entries[key] = Mapping(mine.spot, entries, keys)
    return merged


def _without(entries: dict[str, Entry], known: Container[str]) -> dict[str, Entry]:
    return {key: entry for key, entry in entries.items() if key not in known}


def _replaced(tree: Mapping, key: str, node: Mapping) -> Mapping:
    return Mapping(tree.spot, {**tree.entries, key: node}, tree.keys, tree.size)
