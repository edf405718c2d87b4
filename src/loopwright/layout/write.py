"""A layout as a YAML file: nothing is lost, one line a device, and a picture for people."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import MISSING, Field, fields
from enum import Enum
from fractions import Fraction
from typing import Any

from loopwright.grid import Box, Cell
from loopwright.layout.layout import Layout, Port
from loopwright.layout.map import layout_map
from loopwright.layout.notation import box_text, cell_text, path_text, port_text
from loopwright.record import Origin, header

FORMAT = 1
"""Version of layout files."""

_PLAIN = re.compile(r"[A-Za-z](?:[A-Za-z0-9 _./-]*[A-Za-z0-9])?")
_WORDS = {"null", "true", "false", "yes", "no", "on", "off", "y", "n"}

HEAD = """\
# A layout, complete: all that is simulated and drawn. Cells count from the north-west corner, x to
# the east, y to the south. The picture shows what the lines below say; it is not read. To move a
# row or a device, add lines such as
#
#   moves:
#     row 3: "0,2"                  # so many cells to the east, and to the south
#
"""


def layout_yaml(layout: Layout, origin: Origin) -> str:
    """The whole layout as the text of a YAML file."""
    parts = [json_lines(header("layout", origin, FORMAT)), HEAD + _picture(layout)]
    for field in fields(Layout):
        value = getattr(layout, field.name)
        if is_default(field, value):
            continue
        if isinstance(value, tuple):
            lines = [f"  - {flow(item)}\n" for item in value]
            parts.append(f"{field.name}:\n{''.join(lines)}" if lines else f"{field.name}: []\n")
        else:
            parts.append(f"{field.name}: {flow(value)}\n")
    return "".join(parts)


def json_lines(entries: dict[str, Any]) -> str:
    """The header: an entry a line."""
    return "".join(
        f"{key}: {json.dumps(value, ensure_ascii=True)}\n" for key, value in entries.items()
    )


def _picture(layout: Layout) -> str:
    """The cells of the text map as comments."""
    cells = layout_map(layout).split("\n\n")[0].splitlines()[1:]
    return "".join(f"# {line}\n" for line in cells) + "#\n"


def is_default(field: Field[Any], value: object) -> bool:
    """Whether a field may be left out, because that is what it says anyway."""
    return field.default is not MISSING and value == field.default


def flow(value: object) -> str:
    """A value within one line."""
    if isinstance(value, Cell):
        return quoted(cell_text(value))
    if isinstance(value, Box):
        return quoted(box_text(value))
    if isinstance(value, Port):
        return quoted(port_text(value))
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, int | Fraction):
        return str(value)
    if isinstance(value, tuple):
        return _group(value)
    entries = (
        (field.name, getattr(value, field.name))
        for field in fields(value)  # type: ignore[arg-type]
        if not is_default(field, getattr(value, field.name))
    )
    return _mapping((name, flow(entry)) for name, entry in entries)


def _group(value: Sequence[object]) -> str:
    """A path, a list of names, or pairs as a mapping."""
    if value and all(isinstance(item, Cell) for item in value):
        return quoted(path_text([item for item in value if isinstance(item, Cell)]))
    if value and all(isinstance(item, tuple) for item in value):
        return _mapping(_pairs(value))
    return f"[{', '.join(map(flow, value))}]"


def _pairs(value: Iterable[Any]) -> Iterator[tuple[str, str]]:
    for name, entry in value:
        yield quoted(name), flow(entry)


def _mapping(entries: Iterable[tuple[str, str]]) -> str:
    return "{" + ", ".join(f"{key}: {text}" for key, text in entries) + "}"


def quoted(text: str) -> str:
    """A text as YAML, in quotes where it could be taken for something else."""
    if _PLAIN.fullmatch(text) and text.lower() not in _WORDS:
        return text
    quotation = json.dumps(text, ensure_ascii=False)
    return "".join(sign if sign.isprintable() else f"\\U{ord(sign):08x}" for sign in quotation)
