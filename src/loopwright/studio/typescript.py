"""The messages as types for the pages: `python -m loopwright.studio.typescript` writes them."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import JsonSchemaMode, models_json_schema

from loopwright.studio import cases, floor_message, message
from loopwright.studio.options import OPTIONS

TARGET = Path(__file__).parent / "web" / "src" / "messages.ts"

ASKED: tuple[type[BaseModel], ...] = (
    message.NewFile, message.Rename, message.Save, message.Check, message.OfText, message.Edit,
    message.Choose, message.Import, message.AskPlan, message.AskJob,
    *OPTIONS.values(), cases.AskCases,
    floor_message.AskFloor, floor_message.EditFloor, *floor_message.ORDERS,
)  # fmt: skip
ANSWERED: tuple[type[BaseModel], ...] = (
    message.Failure, message.Studio, message.FileEntry, message.Text, message.Saved,
    message.Conflict, message.Version, message.Checked, message.Form, message.Edited,
    message.Planned, message.Blocks, message.JobResult, message.JobChanged, message.FileChanged,
    cases.Cases,
    floor_message.FloorAnswer, *floor_message.ANSWERS,
)  # fmt: skip
UNIONS = {
    "RunOrder": floor_message.ORDERS,
    "RunAnswer": floor_message.ANSWERS,
    "StudioEvent": (message.JobChanged, message.FileChanged),
}

_HEAD = """\
// Written by loopwright.studio.typescript from the messages of the server; do not edit.
"""
_PLAIN = {
    "string": "string", "integer": "number", "number": "number", "boolean": "boolean",
    "null": "null",
}  # fmt: skip


def messages_ts() -> str:
    """All messages as TypeScript: an interface each, unions of literals where only those go."""
    asked = _schemas(ASKED, "validation")
    answered = _schemas(ANSWERED, "serialization")
    parts = [_HEAD]
    parts += [_interface(name, asked[name], set(asked[name].get("required", ()))) for name in asked]
    parts += [
        _interface(name, entry, set(entry["properties"]))
        for name, entry in answered.items()
        if name not in asked
    ]
    kinds = "".join(f"  {kind}: {model.__name__};\n" for kind, model in OPTIONS.items())
    parts.append(
        f"// What each kind of job may be told.\nexport interface JobOptions {{\n{kinds}}}\n"
    )
    for name, members in UNIONS.items():
        parts.append(f"export type {name} = {' | '.join(one.__name__ for one in members)};\n")
    return "\n".join(parts)


def _schemas(models: Sequence[type[BaseModel]], mode: JsonSchemaMode) -> dict[str, Any]:
    """The schema of each model, and of what it is made of, by name."""
    _, schema = models_json_schema([(model, mode) for model in dict.fromkeys(models)])
    found: dict[str, Any] = schema["$defs"]
    return found


def _interface(name: str, schema: dict[str, Any], needed: set[str]) -> str:
    """One interface. Answers hold all entries; of what is asked, some may be left out."""
    said = textwrap.wrap(" ".join(schema.get("description", "").split()), 96)
    lines = [f"// {line}\n" for line in said]
    lines.append(f"export interface {name} {{\n")
    for key, entry in schema["properties"].items():
        lines.append(f"  {key}{'' if key in needed else '?'}: {_type(entry)};\n")
    return "".join([*lines, "}\n"])


def _type(schema: dict[str, Any]) -> str:
    """The type that a JSON schema allows."""
    if "$ref" in schema:
        return str(schema["$ref"]).rsplit("/", 1)[-1]
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema:
        return " | ".join(json.dumps(value) for value in schema["enum"])
    if "anyOf" in schema:
        return " | ".join(dict.fromkeys(_type(one) for one in schema["anyOf"]))
    kind = schema.get("type")
    if kind == "array":
        return _array(schema)
    if kind == "object":
        inside = schema.get("additionalProperties", True)
        return f"Record<string, {_type(inside) if isinstance(inside, dict) else 'unknown'}>"
    return _PLAIN.get(str(kind), "unknown")


def _array(schema: dict[str, Any]) -> str:
    if "prefixItems" in schema:
        return f"[{', '.join(_type(one) for one in schema['prefixItems'])}]"
    inside = _type(schema["items"])
    return f"({inside})[]" if " | " in inside else f"{inside}[]"


def write_messages() -> None:
    """Write the types where the pages import them."""
    from loopwright.record import write_text

    write_text(TARGET, messages_ts())


if __name__ == "__main__":
    write_messages()
