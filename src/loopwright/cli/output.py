"""What a command prints: one JSON document for programs, text for people."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    from loopwright.finding import Finding


def write_document(kind: str, source: str, parameters: Mapping[str, Any], body: object) -> None:
    """Print one JSON document: the header of `kind`, then the entries of `body`.

    `source` is the digest of the input, `parameters` what else the result depends on; `body` is a
    mapping or one of the frozen nouns. Fractions are written as text such as "16/3".
    """
    from loopwright.record import Origin, header

    entries = body if isinstance(body, Mapping) else plain_document(body)
    document = header(kind, Origin(source, parameters)) | dict(entries)
    typer.echo(json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False))


def plain_document(noun: object) -> dict[str, Any]:
    """The JSON-ready form of a frozen noun."""
    from pydantic import TypeAdapter

    adapter: TypeAdapter[object] = TypeAdapter(type(noun))
    document: dict[str, Any] = adapter.dump_python(noun, mode="json")
    return document


def write_findings(
    findings: Sequence[Finding], *, as_json: bool, source: str = "", err: bool = False
) -> None:
    """Print findings: a document of kind findings, or a line each (to stderr if `err`)."""
    from loopwright.finding import finding_document, findings_text, in_order

    ordered = in_order(findings)
    if as_json:
        listed = [finding_document(finding) for finding in ordered]
        write_document("findings", source, {}, {"findings": listed})
    else:
        typer.echo(findings_text(ordered), err=err)


def table_text(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table in plain text: numbers to the right, words to the left."""
    columns = list(zip(heads, *rows, strict=True))
    widths = [max(map(len, column)) for column in columns]
    right = [bool(rows) and all(map(_is_number, column[1:])) for column in columns]
    lines = [list(heads), ["-" * width for width in widths], *(list(row) for row in rows)]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if numbers else cell.ljust(width)
            for cell, width, numbers in zip(line, widths, right, strict=True)
        ).rstrip()
        for line in lines
    )


def _is_number(cell: str) -> bool:
    """Whether a cell begins as a number does; "-" stands for none."""
    return cell == "-" or cell.removeprefix("-")[:1].isdigit()
