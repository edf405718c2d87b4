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
    """A table in plain text: first column to the left, all others to the right."""
    lines = [list(heads), *(list(row) for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heads))]
    lines.insert(1, ["-" * width for width in widths])
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column == 0 else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )
