"""The head of every written file: kind, version, origin. No times: same inputs, same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.metadata import PackageNotFoundError, version
from typing import Any

SOFTWARE = "loopwright"


class HeaderError(ValueError):
    """A document is not of the kind and version that was asked for."""


@dataclass(frozen=True, slots=True)
class Origin:
    """What a file was made from: enough to make it again.

    `input_digest` is the digest of the project; `parameters` is JSON-ready.
    """

    input_digest: str
    parameters: Mapping[str, Any] = field(default_factory=dict)


def header(kind: str, origin: Origin, format_version: int = 1) -> dict[str, Any]:
    """First entries of a file of `kind` (plan, block, layout, run ...)."""
    return {
        "kind": kind,
        "version": format_version,
        "origin": {
            "software": SOFTWARE,
            "version": software_version(),
            "input": origin.input_digest,
            "parameters": dict(origin.parameters),
        },
    }


def check_header(document: object, kind: str, format_version: int = 1) -> None:
    """Make sure that `document` begins as `header` would have it.

    Raises
    ------
    HeaderError
        Another kind or version, or no header at all.
    """
    if not isinstance(document, Mapping) or "kind" not in document:
        raise HeaderError(f"this is no file of {SOFTWARE}: it does not say its kind")
    if document["kind"] != kind:
        raise HeaderError(f"this is a {document['kind']!r} file, not a {kind!r} file")
    if document.get("version") != format_version:
        found = document.get("version")
        raise HeaderError(f"version {found!r} of {kind!r} files is not known: {format_version} is")


def software_version() -> str:
    """Version of the installed software; "unknown" when run without being installed."""
    try:
        return version(SOFTWARE)
    except PackageNotFoundError:
        return "unknown"
