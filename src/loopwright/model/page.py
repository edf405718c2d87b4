"""The page that describes every field of a project file, made from the models."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from loopwright.exact import UNITS, format_quantity
from loopwright.model.field import Quantity, Whole, Written
from loopwright.model.project import Project

_HEAD = """\
# The project file

One text file in YAML describes a project. This page lists every field; it is made from the
program's own field table, so it is never out of date.

- Quantities are read exactly, as text with a unit: `9000/min`, `16/3 s`, `7.5 carriers/s`, `75 kW`.
  A number is digits, decimals (`0.25`), a fraction (`16/3`) or both (`5 1/3`). No exponents.
  A bare `0` needs no unit.
- `NAME` stands for a name that you choose: a letter, then letters, digits, `-` and `_`, up to 40.
- A field without a default must be there.
- Keys that are not listed are refused, and so are tags, merge keys (`<<`) and second documents.
  Anchors (`&x`) and aliases (`*x`) may be used.
- A file holds at most 2 MB, 20 levels and 100000 entries.

"""


def project_page() -> str:
    """The page, in Markdown."""
    sections = [_section(title, model) for title, model in _models("", Project)]
    return _HEAD + "\n".join(sections)


def default_text(field: FieldInfo) -> str:
    """The default of a field as it would be written; "" where there is none."""
    if field.is_required():
        return ""
    value: Any = field.default
    if field.default_factory is not None:
        value = field.default_factory  # a rule, told in the meaning
        if value is dict:
            return "{}"
        return "see meaning" if not isinstance(value, type) else "all defaults"
    if isinstance(value, Fraction):
        rule = _rule(field)
        return format_quantity(value, rule.unit if isinstance(rule, Quantity) else "")
    return {None: "none", (): "[]"}.get(value, str(value))


def _models(path: str, model: type[BaseModel]) -> Iterator[tuple[str, type[BaseModel]]]:
    """Each model with the path where it stands, outer ones first."""
    if path:
        yield path, model
    for name, field in model.model_fields.items():
        step = f"{path}.{field.alias or name}" if path else field.alias or name
        inner = field.annotation
        if get_origin(inner) is dict:
            inner, step = get_args(inner)[1], f"{step}.NAME"
        elif get_origin(inner) is tuple:
            inner, step = get_args(inner)[0], f"{step}[]"
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            yield from _models(step, inner)
        elif step == "demand.NAME":
            yield step, model


def _section(path: str, model: type[BaseModel]) -> str:
    lines = [f"## {path}", ""]
    if path == "demand.NAME":
        field = model.model_fields["demand"]
        rule = next(entry for entry in _metadata(field) if isinstance(entry, Quantity))
        lines += [f"{field.description} NAME is a key of materials.", "", *_table_head()]
        lines.append(_row("NAME", "quantity", rule.unit, "", rule.range_text, "Demanded rate."))
        return "\n".join(lines) + "\n"
    summary = (model.__doc__ or "").strip().split("\n")[0]
    lines += [summary, "", *_table_head()]
    for name, field in model.model_fields.items():
        kind, unit, bounds = _type(field)
        key, meaning = field.alias or name, field.description or ""
        lines.append(_row(key, kind, unit, default_text(field), bounds, meaning))
    return "\n".join(lines) + "\n"


def _table_head() -> list[str]:
    return ["| key | type | unit | default | range | meaning |", "|---|---|---|---|---|---|"]


def _row(*cells: str) -> str:
    key, kind, unit, default, bounds, meaning = (cell.replace("|", "\\|") for cell in cells)
    code = f"`{default}`" if default and default != "see meaning" else default
    return f"| `{key}` | {kind} | {unit} | {code} | {bounds} | {meaning} |"


def _type(field: FieldInfo) -> tuple[str, str, str]:
    """Type, unit and range of a field, in words."""
    kind: Any = field.annotation
    rule = _rule(field)
    if get_origin(kind) is dict:
        return f"entries `NAME: {_inner(get_args(kind)[1])}`", *_entry_range(field)
    if get_origin(kind) is tuple:
        return "list", "", ""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return "section", "", ""
    if isinstance(rule, Quantity):
        word = f" or `{rule.word}`" if rule.word else ""
        return f"quantity{word}", UNITS[rule.unit].base, rule.range_text
    if isinstance(rule, Whole):
        word = f" or `{rule.word}`" if rule.word else ""
        return f"whole number{word}", rule.unit, rule.range_text
    if get_origin(kind) is Literal:
        return "word", "", ", ".join(f"`{word}`" for word in get_args(kind))
    if isinstance(rule, Written):
        return ("name" if rule.code == "LW118" else "text"), "", rule.allowed
    return "number", "", "1"


def _inner(kind: Any) -> str:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return "section"
    return "whole number" if kind is not Fraction and get_args(kind)[0] is int else "quantity"


def _entry_range(field: FieldInfo) -> tuple[str, str]:
    for entry in _metadata(field):
        if isinstance(entry, Whole):
            return entry.unit, entry.range_text
        if isinstance(entry, Quantity):
            return entry.unit, entry.range_text
    return "", ""


def _rule(field: FieldInfo) -> Quantity | Whole | Written | None:
    rules = [rule for rule in field.metadata if isinstance(rule, (Quantity, Whole, Written))]
    return rules[-1] if rules else None


def _metadata(field: FieldInfo) -> tuple[Any, ...]:
    """Metadata of the values of a mapping."""
    arguments = get_args(field.annotation)
    return getattr(arguments[1], "__metadata__", ()) if len(arguments) == 2 else ()
