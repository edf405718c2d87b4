"""Faults that the models find, as findings with their place in the file."""

from __future__ import annotations

import re
from collections.abc import Mapping as Map
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from loopwright.finding import Finding, new_finding
from loopwright.model.near import listed, nearest
from loopwright.model.project import Project
from loopwright.model.source import Mapping, key_spot, value_spot, walk

Path = tuple[str | int, ...]

_SHAPES = {
    "dict_type": "entries, each `key: value`",
    "model_type": "entries, each `key: value`",
    "model_attributes_type": "entries, each `key: value`",
    "tuple_type": "a list, each entry after a dash",
    "list_type": "a list, each entry after a dash",
}


def findings_of(error: ValidationError, tree: Mapping) -> list[Finding]:
    """One finding for each fault in `error`, at its place in `tree`."""
    return [
        _finding(details, tree)
        for details in error.errors(include_url=False, include_input=True)
        if details["type"] != _FOLLOWS
        and not any(node.faulty for node in walk(tree, details["loc"]))
    ]


def path_text(path: Path) -> str:
    """A key path as shown to people: site.docks[2].rate, lists counted from 1."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text


def _finding(details: Map[str, Any], tree: Mapping) -> Finding:
    kind, path, value = details["type"], tuple(details["loc"]), details["input"]
    of_key = path[-1:] == ("[key]",)
    if of_key:
        path = path[:-1]
    spot = key_spot(tree, path) if of_key or kind in _AT_KEY else value_spot(tree, path)
    place = spot.place(path_text(path))
    if kind == "extra_forbidden":
        return _unknown_key(path, place)
    if kind == "missing":
        return _missing(path, tree)
    shown = None if isinstance(value, (dict, list)) or value is None else str(value)[:80]
    context = details.get("ctx", {})
    if kind == "too_long":
        most = context["max_length"]
        return new_finding("LW108", "too many entries", place, allowed=f"at most {most} entries")
    if isinstance(value, (dict, list)) and kind not in _SHAPES:
        message = f"{_form(value)} stands here, where one value belongs"
        allowed = context.get("allowed") or context.get("expected")
        return new_finding("LW110", message, place, allowed=allowed)
    if value is None:
        allowed = context.get("allowed") or _SHAPES.get(kind) or context.get("expected")
        key = key_spot(tree, path).place(path_text(path))
        field = _field_at(path)
        give = "write a value" if field and field.is_required() else _GIVE
        return new_finding("LW112", "no value is given", key, allowed=allowed, remedy=give)
    if kind.startswith("LW"):
        return new_finding(
            kind,
            context["message"],
            place,
            value=shown,
            allowed=context["allowed"],
            remedy=context["remedy"],
        )
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", context["expected"])
        return _wrong_word(str(value), words, place)
    allowed = _SHAPES.get(kind)
    message = f"the shape is wrong: {details['msg']}" if allowed is None else _shape(value, allowed)
    return new_finding("LW110", message, place, value=shown, allowed=allowed)


_AT_KEY = {"extra_forbidden", "too_long"}
_FOLLOWS = "default_factory_not_called"  # only says that another field is faulty
_GIVE = "write a value, or take the key out"


def _shape(value: object, allowed: str) -> str:
    form = _form(value) if isinstance(value, (dict, list)) else "one value"
    wanted, verb = ("a list", "belongs") if "list" in allowed else ("entries", "belong")
    return f"{form} stands here, where {wanted} {verb}"


def _form(value: object) -> str:
    return "a list" if isinstance(value, list) else "a mapping"


def _wrong_word(value: str, words: list[str], place: Any) -> Finding:
    near = nearest(value, words)
    return new_finding(
        "LW117",
        f"{value[:40]!r} is not one of the allowed words",
        place,
        value=value[:80],
        allowed=listed(words),
        remedy=f"did you mean {near!r}?" if near else None,
    )


def _unknown_key(path: Path, place: Any) -> Finding:
    key = str(path[-1])
    keys = _keys_at(path[:-1])
    near = nearest(key, keys)
    return new_finding(
        "LW111",
        f"the key {key[:40]!r} is not known here",
        place,
        value=key[:80],
        allowed=listed(keys),
        remedy=f"did you mean {near!r}?" if near else None,
    )


def _missing(path: Path, tree: Mapping) -> Finding:
    key = str(path[-1])
    spot = key_spot(tree, path[:-1]) if len(path) > 1 else tree.spot
    message = f"the key {key!r} is missing here"
    remedy = f"add `{key}:` ({_meaning(path)})"
    return new_finding("LW112", message, spot.place(path_text(path)), remedy=remedy)


def _meaning(path: Path) -> str:
    field = _field_at(path)
    text = (field.description or "a value") if field else "a value"
    return text.rstrip(".")[:1].lower() + text.rstrip(".")[1:]


def _field_at(path: Path) -> FieldInfo | None:
    model = _model_at(path[:-1])
    fields = model.model_fields if model else {}
    return next(
        (field for name, field in fields.items() if (field.alias or name) == path[-1]), None
    )


def _keys_at(path: Path) -> list[str]:
    model = _model_at(path)
    if model is None:
        return []
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_at(path: Path) -> type[BaseModel] | None:
    """The model that describes what stands at `path`."""
    found: Any = Project
    for step in path:
        if isinstance(found, type) and issubclass(found, BaseModel):
            fields = found.model_fields
            match = [fields[name] for name in fields if (fields[name].alias or name) == step]
            found = match[0].annotation if match else None
        else:
            arguments = get_args(found)
            found = arguments[-1] if arguments and isinstance(step, str) else None
            found = arguments[0] if arguments and isinstance(step, int) else found
    return found if isinstance(found, type) and issubclass(found, BaseModel) else None
