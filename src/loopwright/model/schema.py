"""The JSON Schema of project files, for editors."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from loopwright.model.field import NAME_PATTERN, Section
from loopwright.model.page import default_text
from loopwright.model.project import Project

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def project_schema() -> dict[str, Any]:
    """JSON Schema of a project file, made from the models.

    Quantities are texts with a unit, or plain numbers where the field has none. The equipment
    sections are not required here, for a catalogue (`use`) may give them.
    """
    schema = Project.model_json_schema(by_alias=True, mode="validation")
    schema = {"$schema": _DIALECT, **schema, "title": "Loopwright project"}
    models = {model.__name__: model for model in Section.__subclasses__()}
    for name, part in schema["$defs"].items():
        _polish(part, models[name])
    _polish(schema, Project)
    schema["$defs"]["Equipment"].pop("required", None)
    return schema


def _polish(part: dict[str, Any], model: type[Section]) -> None:
    """Names of entries by their pattern, defaults with units, no titles that repeat the key."""
    for name, field in model.model_fields.items():
        entry = part["properties"][field.alias or name]
        entry.pop("title", None)
        entry.setdefault("description", field.description)
        if "propertyNames" in entry:
            entry["propertyNames"] = {"pattern": f"^{NAME_PATTERN}$"}
        if isinstance(field.default, Fraction):
            entry["default"] = default_text(field)
