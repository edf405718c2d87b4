"""Endpoints of a text as it is typed: what is wrong with it, its form, changes of single values."""

from __future__ import annotations

from collections.abc import Callable

from starlette.routing import Route

from loopwright.finding import has_errors, in_order
from loopwright.model.edit import EditError, set_entry
from loopwright.model.parse import parse_text
from loopwright.model.read import check_text
from loopwright.model.schema import project_schema
from loopwright.model.source import Mapping, Scalar, Tree, child
from loopwright.model.table.kind import KINDS
from loopwright.model.table.read import Reading
from loopwright.studio.answer import answers, answers_to
from loopwright.studio.desk import Desk
from loopwright.studio.folder import text_digest
from loopwright.studio.form import project_form
from loopwright.studio.message import (
    Check,
    Checked,
    Choose,
    Edit,
    Edited,
    Form,
    Import,
    OfText,
    findings,
)
from loopwright.studio.refusal import RefusalError

Parts = dict[str, str]


def _check(desk: Desk, _parts: Parts, asked: Check) -> Checked:
    project, found = check_text(asked.text, asked.file, desk.folder.root)
    return Checked(ok=project is not None, digest=text_digest(asked.text), findings=findings(found))


def _schema(_desk: Desk, _parts: Parts) -> object:
    return project_schema()


def _form(_desk: Desk, _parts: Parts, asked: OfText) -> Form:
    return project_form(asked.text, asked.file)


def _edit(_desk: Desk, _parts: Parts, asked: Edit) -> Edited:
    value = None if asked.value is None else _value(asked.value)
    return _edited(lambda: set_entry(asked.text, asked.path, value))


def _value(text: str) -> str | Tree:
    """One value, or what stands in braces or brackets."""
    if text[:1] not in ("{", "["):
        return text
    tree, found = parse_text(f"value: {text}", "value")
    inner = child(tree, "value") if tree is not None else None
    return text if found or inner is None or isinstance(inner, Scalar) else inner


def _choose(_desk: Desk, _parts: Parts, asked: Choose) -> Edited:
    def chosen() -> str:
        text = asked.text
        for key, value in asked.choices.items():
            text = set_entry(text, ("choices", key), value)
        return text

    return _edited(chosen)


def _import(_desk: Desk, _parts: Parts, asked: Import) -> Edited:
    kind = KINDS[asked.kind]
    reading = Reading()
    reading.add_text(asked.table, asked.name, asked.kind)
    wrong = [table for table in reading.tables if table.kind is not kind]
    if wrong:
        raise RefusalError(
            422,
            f"{asked.name} is a table of {wrong[0].kind.word}, not of {asked.kind}: bring it in "
            "there.",
        )
    section: Tree | None = reading.tree()
    for step in kind.section:
        section = child(section, step) if section is not None else None
    found = findings(in_order(reading.findings))
    if has_errors(reading.findings) or not isinstance(section, Mapping):
        return Edited(text=None, findings=found)
    entries = section.entries

    def brought_in() -> str:
        text = asked.text
        for name, entry in entries.items():
            text = set_entry(text, (*kind.section, name), entry)
        return text

    edited = _edited(brought_in)
    return Edited(text=edited.text, findings=found)


def _edited(edit: Callable[[], str]) -> Edited:
    try:
        return Edited(text=edit())
    except EditError as error:
        raise RefusalError(422, str(error)) from None


ROUTES = (
    Route("/api/check", answers_to(Check, _check), methods=["POST"]),
    Route("/api/schema", answers(_schema)),
    Route("/api/form", answers_to(OfText, _form), methods=["POST"]),
    Route("/api/form/edit", answers_to(Edit, _edit), methods=["POST"]),
    Route("/api/choose", answers_to(Choose, _choose), methods=["POST"]),
    Route("/api/import", answers_to(Import, _import), methods=["POST"]),
)
