"""A layout as text, for a failure that a person has to read."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from loopwright.layout.layout import Layout, Port

PLACES = {"at", "box", "facing", "path", "role", "row", "title", "name"}
"""Where things stand says nothing about how they run."""


def picture(layout: Layout) -> str:
    """Every device on a line: what it is called, what it joins, how it works."""
    lines = []
    kinds = [field.name for field in fields(Layout) if field.name not in ("materials", "obstacles")]
    for kind in kinds:
        devices = getattr(layout, kind)
        if not isinstance(devices, tuple):
            continue
        for device in devices:
            parts = [f"{len(device.path)} cells"] if kind == "belts" else []
            parts += [
                f"{field.name} {_text(getattr(device, field.name))}"
                for field in fields(device)
                if field.name not in PLACES and getattr(device, field.name) not in (None, ())
            ]
            lines.append(f"{kind.removesuffix('s'):12} {device.name:16} {', '.join(parts)}")
    return "\n".join(lines)


def differences(one: Any, other: Any, path: str = "") -> list[str]:
    """Where two documents differ, one line each."""
    if isinstance(one, dict) and isinstance(other, dict):
        keys = [*one, *(key for key in other if key not in one)]
        pairs = [(key, one.get(key), other.get(key)) for key in keys]
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        pairs = [(index, a, b) for index, (a, b) in enumerate(zip(one, other, strict=True))]
    else:
        return [] if one == other else [f"{path}: {one} / {other}"]
    return [line for key, a, b in pairs for line in differences(a, b, f"{path} > {key}")]


def _text(value: Any) -> str:
    if isinstance(value, Port):
        return value.device if value.index is None else f"{value.device}[{value.index}]"
    if isinstance(value, tuple):
        return "(" + " ".join(_text(item) for item in value) + ")"
    return str(value)
