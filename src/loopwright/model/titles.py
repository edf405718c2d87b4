"""Titles that are left out: the key stands in for them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def with_titles(data: Any) -> Any:
    """A copy of the raw form of a project in which every entry that can have a title has one.

    Whatever does not have the expected shape is left as it is, for others to report.
    """
    if not isinstance(data, Mapping):
        return data
    filled = dict(data)
    for section in ("materials", "processes"):
        if section in filled:
            filled[section] = _titled(filled[section])
    equipment = filled.get("equipment")
    if isinstance(equipment, Mapping):
        kinds = ("stations", "belts", "pickers", "power_nodes", "treatments")
        filled["equipment"] = {
            key: _titled(entry) if key in kinds else entry for key, entry in equipment.items()
        }
    return filled


def _titled(section: Any) -> Any:
    if not isinstance(section, Mapping):
        return section
    return {
        key: {**entry, "title": entry.get("title") or key} if isinstance(entry, Mapping) else entry
        for key, entry in section.items()
    }
